// Row L1: a one-page episode with a title, one source, one chapter and two sentences gives captions, notes and clip log, with no
// other file present.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { descant, folder } from "../harness/harness.mjs";

const episode = `episode "One Page" { language en   date "2024-05-01" }
work w { title "A Study" }
recording disc { of w   kind audio   length 2:00 }
cite book { author "A. Writer"   title "On Lanterns"   year 1998 }
passage p of w {
  heard in disc 0:10 to 0:13
  meter 4/4
  tempo 1/4 = 80
  part reed for oboe { bar 1: 1/4 C5 D5 E5 F5 }
}
at 0:00 chapter "The lantern"
at 0:01 say { A lantern is lit, says [one writer](cite:book). Then it goes out. }
then play p from disc
`;

export default function (group) {
    const cwd = folder({ "page.descant": episode });
    const r = descant(["build", "--to", "md,vtt,srt", "page.descant"], { cwd });
    group.check(r.status === 0, "builds", r.stderr);
    group.same(readdirSync(cwd).sort().join(" "), "out page.descant", "nothing else is written");
    const files = r.status === 0 ? readdirSync(join(cwd, "out")).sort() : [];
    group.same(files.join(" "), "page.chapters.vtt page.md page.srt page.vtt", "captions and notes");
    const read = (f) => (files.includes(f) ? readFileSync(join(cwd, "out", f), "utf8") : "");
    const squeeze = (s) => s.replace(/\s+/g, " ");
    for (const f of ["page.vtt", "page.srt", "page.md"])
        group.check(squeeze(read(f)).includes("A lantern is lit, says"), `${f} holds the first sentence`, read(f));
    const notes = read("page.md");
    group.check(/^# .*One Page/m.test(notes), "the notes have the title", notes);
    group.check(/^## Sources[\s\S]*A\. Writer[\s\S]*1998/m.test(notes), "the notes have the source", notes);
    group.check(/^## Clip log[\s\S]*0:10[\s\S]*0:13/m.test(notes), "the notes have the clip log", notes);
    group.check(/0:00.*The lantern/.test(notes), "the notes have the chapter", notes);
}
