// Row T1: notes, rests, chords, ties and tuplets in several voices come out at exact times, and a bar that is short, long, missing
// or written twice is named with the amount.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { check, descant, folder } from "../harness/harness.mjs";

const passage = (rows, meter = "4/4", voices = "") => `episode "Rhythm" { }
work w { title "A Study" }
passage p of w {
  meter ${meter}
  part a for piano {
    ${voices}
${rows.map((r) => `    ${r}`).join("\n")}
  }
}
`;

function notes(rows, meter, voices) {
    const cwd = folder({ "x.descant": passage(rows, meter, voices) });
    const r = descant(["build", "--to", "json", "x.descant"], { cwd });
    if (r.status !== 0)
        return r.stderr;
    const model = JSON.parse(readFileSync(join(cwd, "out/x.json"), "utf8"));
    return model.passages[0].parts[0].notes.map((n) => `${n.pitch}@${n.onset}+${n.length}/${n.voice}`).join(" ");
}

// Bars, meter, voices, the notes: pitch@onset+length/voice, in wholes; voice 0 is the lowest.
const fine = [
    [["bar 1: 1/4 C4 D4 E4 F4"], "4/4", "", "C4@0+1/4/0 D4@1/4+1/4/0 E4@1/2+1/4/0 F4@3/4+1/4/0"],
    [["bar 1: 1/4 C4 rest 1/2 E4"], "4/4", "", "C4@0+1/4/0 E4@1/2+1/2/0"],
    [["bar 1: 1/12 C4 D4 E4 3/4 F4"], "4/4", "", "C4@0+1/12/0 D4@1/12+1/12/0 E4@1/6+1/12/0 F4@1/4+3/4/0"],
    [["bar 1: 1/20 C4 D4 E4 F4 G4 3/4 A4"], "4/4", "", "C4@0+1/20/0 D4@1/20+1/20/0 E4@1/10+1/20/0 F4@3/20+1/20/0 G4@1/5+1/20/0 A4@1/4+3/4/0"],
    [["bar 1: 1/28 C4 D4 E4 F4 G4 A4 B4 3/4 C5"], "4/4", "", "C4@0+1/28/0 D4@1/28+1/28/0 E4@1/14+1/28/0 F4@3/28+1/28/0 G4@1/7+1/28/0 A4@5/28+1/28/0 B4@3/14+1/28/0 C5@1/4+3/4/0"],
    // A tie over the bar line, and one to a longer value.
    [["bar 1: 3/4 C4 1/4 D4", "bar 2: 1/2 hold E4"], "4/4", "", "C4@0+3/4/0 D4@3/4+3/4/0 E4@3/2+1/2/0"],
    [["bar 1: 1/8 C4 1/4 hold 1/8 D4 1/2 E4"], "4/4", "", "C4@0+3/8/0 D4@3/8+1/8/0 E4@1/2+1/2/0"],
    // Bars of one row, a pickup's meter, additive meters.
    [["bar 1: 3/4 C4 | D4 | hold"], "3/4", "", "C4@0+3/4/0 D4@3/4+3/2/0"],
    [["bar 1: 1/8 C4 D4 E4 F4 G4"], "3+2/8", "", "C4@0+1/8/0 D4@1/8+1/8/0 E4@1/4+1/8/0 F4@3/8+1/8/0 G4@1/2+1/8/0"],
    // Stacks keep their voices, lowest first; named voices too.
    [["bar 1: 1/2 (C4 E4 G4) (D4 F4 A4)"], "4/4", "", "C4@0+1/2/0 E4@0+1/2/1 G4@0+1/2/2 D4@1/2+1/2/0 F4@1/2+1/2/1 A4@1/2+1/2/2"],
    [["bar 1: 1/2 (t:C4 s:G4) (t:D4 a:F4 s:A4)"], "4/4", "voices s a t", "C4@0+1/2/0 G4@0+1/2/2 D4@1/2+1/2/0 F4@1/2+1/2/1 A4@1/2+1/2/2"],
];

// Bars, meter, the code, and words that must stand in what is said.
const wrong = [
    [["bar 1: 1/4 C4 D4 E4"], "4/4", "bar-too-short", ["bar 1 holds 3/4", "its meter is 4/4", "1/4 is missing"]],
    [["bar 1: 1/4 C4 D4 E4 F4 1/8 G4"], "4/4", "bar-too-long", ["bar 1 holds 9/8", "its meter is 4/4", "1/8 too much"]],
    [["bar 1: 1/12 C4 D4 E4 F4"], "1/4", "bar-too-long", ["bar 1 holds 1/3", "1/12 too much"]],
    [["bar 1: 1/20 C4 D4 E4 F4"], "1/4", "bar-too-short", ["bar 1 holds 1/5", "1/20 is missing"]],
    [["bar 1: 1/8 C4 D4 E4 F4 G4 A4"], "3+2/8", "bar-too-long", ["bar 1 holds 6/8", "its meter is 3+2/8", "1/8 too much"]],
    [["bar 1: 1/4 C4 D4 E4 F4", "bar 1: 1/1 C4"], "4/4", "bar-twice", ["bar 1"]],
    [["bar 2: 1/1 C4", "bar 1: 1/1 C4"], "4/4", "bar-twice", ["bar 1"]],
    [["bar 1: C4"], "4/4", "no-note-value", []],
    [["bar 1: 1/1 hold"], "4/4", "nothing-to-hold", []],
    [["bar 1: 0/4 C4"], "4/4", "bad-note-value", []],
];

export default function (group) {
    for (const [rows, meter, voices, want] of fine)
        group.same(notes(rows, meter, voices), want, `${meter} ${rows.join(" / ")}`);
    for (const [rows, meter, code, words] of wrong) {
        const r = check("x.descant", { cwd: folder({ "x.descant": passage(rows, meter) }) });
        const told = JSON.stringify(r.diagnostics);
        const d = r.diagnostics.find((x) => x.code === code);
        group.check(d && words.every((w) => JSON.stringify(d).includes(w)), `${meter} ${rows.join(" / ")}: ${code}, ${words.join(", ")}`, told);
    }
    // A bar that no part writes is not silence: a claim about it is undecided.
    const gap = check("x.descant", { cwd: folder({ "x.descant": passage(["bar 1: 1/1 C4", "bar 3: 1/1 E4"]) + "claim up: a of p rises throughout\n" }) });
    group.same(gap.claims[0]?.verdict, "undecided", "a missing bar leaves a claim over it undecided");
    group.check(/bar 2/.test(gap.claims[0]?.evidence ?? ""), "and is named", gap.claims[0]?.evidence);
}
