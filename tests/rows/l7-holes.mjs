// Row L7: what the author does not know yet may be left open (a bar, a chord, a tempo, a key, a page, a track, a time, a source, a
// stretch of a recording): all outputs are built, the holes are listed with their lines, and claims that need them are undecided.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { check, descant, folder } from "../harness/harness.mjs";

const holes = ["which track", "which page", "where on the disc", "bar two", "the second chord", "which tempo", "which key", "which book", "who copied the parts", "when he speaks"];

const episode = `episode "Holes" { language en   date "2024-05-01" }
work w { title "A Study" }
recording disc { of w   kind audio   track open "which track"   length 2:00 }
cite book { author "A. Writer"   title "On Lanterns"   page open "which page" }
passage p of w {
  meter 4/4
  tempo 1/4 = 80
  heard in disc open "where on the disc"
  part reed for oboe {
    bar 1: 1/4 C5 D5 E5 F5
    bar 2: open "bar two"
  }
  harmony { bar 1: 1/2 C open "the second chord" }
}
passage q of w {
  meter 4/4
  tempo open "which tempo"
  key open "which key"
  part reed for oboe { bar 1: 1/1 C5 }
}
claim up: C5 to D5 is a major second
claim unheard: reed of p rises throughout, bar 1 to bar 2
fact late "It was late" from open "which book"
open "who copied the parts"
at 0:00 chapter "One"
at 0:01 say from 0:01 to 0:14 { It [rises](claim:up), says [one](cite:book); [it was late](fact:late). }
then demo p
at 0:20 chapter "Two"
at 0:20 say from 0:20 to 0:32 { And it goes on, for a good while, without us. }
at 0:33 chapter "Three"
at open "when he speaks" say { Later, one more word about the lantern. }
then silence for 12 s
`;

export default function (group) {
    const cwd = folder({ "x.descant": episode });
    const r = check("x.descant", { cwd });
    const told = r.diagnostics.map((d) => `${d.line} [${d.code}] ${d.message}`).join("\n");
    group.check(r.status === 0 && r.summary?.errors === 0, "holes are no errors", told);
    const found = r.diagnostics.filter((d) => d.code === "hole");
    group.same(found.map((d) => d.message.replace(/^left open: /, "")).sort().join(", "), [...holes].sort().join(", "), "each hole is noted once");
    group.check(found.every((d) => d.severity === "note"), "a hole is a note", told);
    const verdict = Object.fromEntries(r.claims.map((c) => [c.name, c]));
    group.same(verdict.up?.verdict, "holds", "a claim that needs no hole");
    group.same(verdict.unheard?.verdict, "undecided", "a claim that needs an open bar");

    const built = descant(["build", "x.descant"], { cwd });
    group.check(built.status === 0, "builds", built.stderr);
    const files = built.status === 0 ? readdirSync(join(cwd, "out")).sort() : [];
    group.same(files.join(" "), "x.chapters.vtt x.demo-1-p.mid x.json x.md x.passage-p.mid x.passage-q.mid x.srt x.vtt", "all outputs");
    const notes = files.includes("x.md") ? readFileSync(join(cwd, "out/x.md"), "utf8") : "";
    for (const hole of holes) {
        const line = episode.slice(0, episode.indexOf(hole)).split("\n").length;
        group.check(built.stdout.includes(`open: ${hole} (x.descant:${line})`), `the summary lists "${hole}"`, built.stdout);
        group.check(notes.includes(hole), `the notes list "${hole}"`);
    }
}
