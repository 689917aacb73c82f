// Row L5: every named thing: a name that nothing defines is an error with the nearest name, a name defined twice an error with the
// place of the first.
import { check, folder } from "../harness/harness.mjs";

// Kind, its definition, and a use of it with NAME in place of the name; the name is `lantern`.
const kinds = [
    ["work", 'work lantern { title "A Study" }', "recording r { of NAME   kind audio }"],
    ["recording", "recording lantern { of w   kind audio   length 1:00 }", "passage q of w { meter 4/4\n heard in NAME 0:00 to 0:02\n part a for oboe { bar 1: 1/1 C5 } }"],
    ["score", "score lantern { of w   edition \"first\" }", "passage q of w { meter 4/4\n basis score NAME bar 1\n part a for oboe { bar 1: 1/1 C5 } }"],
    ["source", 'cite lantern { title "On Lamps" }', 'fact f "so it was" from NAME'],
    ["source", 'cite lantern { title "On Lamps" }', "at 0:00 say { [said](cite:NAME) }"],
    ["fact", 'fact lantern "so it was" from book', "at 0:00 say { [said](fact:NAME) }"],
    ["reading", 'reading lantern "a lamp that searches"', "at 0:00 say { [said](reading:NAME) }"],
    ["passage", "passage lantern of w { meter 4/4\n part a for oboe { bar 1: 1/1 C5 } }", "at 0:00 demo NAME"],
    ["passage", "passage lantern of w { meter 4/4\n part a for oboe { bar 1: 1/1 C5 } }", "at 0:00 say { [this](passage:NAME) }"],
    ["passage", "passage lantern of w { meter 4/4\n part a for oboe { bar 1: 1/1 C5 } }", "claim c: the harmony of NAME alternates two chords"],
    ["figure", "figure lantern { 1/4 C5 D5 }", "claim c: NAME rises throughout"],
    ["figure", "figure lantern { 1/4 C5 D5 }", "at 0:00 say { [this](figure:NAME) }"],
    ["claim", "claim lantern: C4 to E4 is a major third", "at 0:00 say { [rises](claim:NAME) }"],
    ["claim", "claim lantern: C4 to E4 is a major third", 'errata NAME { date "2024-05-01"   said "a"   true "b" }'],
    ["instrument", 'instrument lantern { name "Lantern"   family woodwind   range C4 to C6 }', "passage q of w { meter 4/4\n part a for NAME { bar 1: 1/1 C5 } }"],
    ["caption profile", 'caption-profile lantern { name "one"   line 40   lines 2   rate 15 to 17   speech 150   shortest 1 s   longest 7 s   gap 2 frames   close 1 s   accidentals words }', "conventions { caption-profile NAME }"],
    ["part", "passage p of w { meter 4/4\n part lantern for oboe { bar 1: 1/1 C5 }\n", "figure f is NAME bar 1 }", "open"],
];

const head = 'episode "Names" { }\nwork w { title "A Study" }\ncite book { title "A Book" }\n';
const run = (text) => check("x.descant", { cwd: folder({ "x.descant": head + text }) });
const told = (r) => r.diagnostics.map((d) => `${d.line}:${d.column} [${d.code}] ${d.message} ${d.parts.map((p) => p.text ?? p.replacement).join("; ")}`).join("\n");

export default function (group) {
    for (const [what, definition, use, form] of kinds) {
        const fine = run(`${definition}\n${use.replace("NAME", "lantern")}\n`);
        group.check(!fine.diagnostics.some((d) => ["unknown-name", "link-unknown", "claim-names-nothing", "correction-of-nothing", "duplicate-name"].includes(d.code)), `${what}: the right name is found`, told(fine));

        const wrong = run(`${definition}\n${use.replace("NAME", "lantren")}\n`);
        const errors = wrong.diagnostics.filter((d) => d.severity === "error");
        group.check(errors.some((d) => /lantren/.test(d.message + JSON.stringify(d.parts)) && /lantern/.test(JSON.stringify(d.parts))), `${what}: a slip in the name is met with the near one (${use})`, told(wrong));

        const far = run(`${definition}\n${use.replace("NAME", "zzz")}\n`);
        group.check(far.diagnostics.some((d) => d.severity === "error"), `${what}: an unknown name is an error`, told(far));
        group.check(!/lantern/.test(JSON.stringify(far.diagnostics.filter((d) => d.severity === "error").flatMap((d) => d.parts.filter((p) => p.kind === "fix")))), `${what}: a name far off is not guessed`, told(far));

        if (form === "open")
            continue;
        const twice = run(`${definition}\n${definition}\n`);
        const d = twice.diagnostics.find((x) => x.code === "duplicate-name");
        group.check(d && d.parts.some((p) => p.kind === "place" && p.line < d.line), `${what}: a second definition names the first`, told(twice));
    }
}
