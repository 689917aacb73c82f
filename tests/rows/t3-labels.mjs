// Row T3: a chord label against the notes: root, quality and inversion; what does not fit is named, with up to three labels that would.
import { check, folder } from "../harness/harness.mjs";

const episode = (notes, symbol, claim = "") => `episode "Labels" { }
work w { title "A Study" }
passage p of w {
  meter 4/4
  key C major
  part a for piano { bar 1: 1/1 (${notes}) }
  harmony { bar 1: 1/1 ${symbol} }
}
${claim}
`;

// Notes, label, what is said of it: the code, and words. No code: it fits.
const rows = [
    ["C3 E4 G4", "C", null, []],
    ["C3 Eb4 G4 Bb4", "Cm7", null, []],
    ["E3 G4 C5", "C/E", null, []],
    ["B2 D4 F4 G4", "V65", null, []],
    ["C3 E4", "C", "harmony-missing-tone", ["G"]],
    ["C3 E4 G4 B4", "C7", "harmony-foreign-tone", ["B"]],
    ["C3 E4 G4 B4", "C7", "harmony-foreign-tone", ["no Bb", "Cmaj7"]],
    ["C3 Eb4 G4", "C", "harmony-foreign-tone", ["Eb"]],
    ["E3 G4 C5", "C", "harmony-bass", ["E"]],
    ["C3 E4 G4", "C/E", "harmony-bass", ["C", "E"]],
    ["D#3 F##4 A#4", "Eb", "harmony-spelling", []],
    ["B2 D4 F4 G4", "V7", "harmony-bass", ["B"]],
    ["G2 D4 F4 A4", "V7", "harmony-foreign-tone", ["A"]],
    ["D3 F4 A4", "IV", "harmony-foreign-tone", ["D", "no C", "Dm"]],
];

// Notes, label in a claim, labels that would fit (the nearest first).
const claims = [
    ["C3 Eb4 G4 Bb4", "C7", ["Cm7"]],
    ["C3 E4 G4 A4", "C7", ["C6", "Am7/C"]],
    ["B2 D4 F4 Ab4", "Bm7b5", ["Bdim7", "B°7", "Bo7"]],
    ["E3 G4 B4 D5", "Em", ["Em7", "G6/E"]],
    ["C3 F4 G4", "C", ["Csus4"]],
];

export default function (group) {
    for (const [notes, symbol, code, words] of rows) {
        const r = check("x.descant", { cwd: folder({ "x.descant": episode(notes, symbol) }) });
        const told = r.diagnostics.map((d) => `[${d.code}] ${d.message} ${JSON.stringify(d.parts)}`).join("\n");
        if (!code) {
            group.check(r.diagnostics.length === 0, `${symbol} fits ${notes}`, told);
            continue;
        }
        const d = r.diagnostics.find((x) => x.code === code);
        group.check(d && words.every((w) => new RegExp(`(^|[^A-Za-z#])${w}(?![#b])`).test(d.message + " " + d.parts.map((p) => p.text ?? "").join(" "))), `${symbol} over ${notes}: ${code} names ${words.join(" and ")}`, told);
    }
    for (const [notes, symbol, fits] of claims) {
        const r = check("x.descant", { cwd: folder({ "x.descant": episode(notes, "N.C.", `claim it: the chord at bar 1 is ${symbol}`) }) });
        const [claim] = r.claims;
        const said = `${claim?.evidence} ${claim?.instead}`;
        group.check(claim?.verdict === "fails", `${symbol} for ${notes} fails`, said);
        group.check(fits.some((f) => said.includes(f)), `${symbol} for ${notes}: ${fits[0]} is offered`, said);
        const offered = /nearest chords? (?:is|are) ([^;]*)/.exec(said)?.[1].split(/, | and | or /) ?? [];
        group.check(offered.length <= 3, `${symbol} for ${notes}: at most three labels`, said);
    }
}
