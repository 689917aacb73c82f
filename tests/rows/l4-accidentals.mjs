// Row L4: ♯ ♭ ♮ 𝄪 𝄫 and the ASCII spellings of an accidental are read as the same value, wherever a pitch, a chord symbol, a key or
// a tone stands.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { check, descant, folder } from "../harness/harness.mjs";

// Each row: ways to write one pitch.
const pitches = [
    ["F#5", "F♯5"], ["Bb4", "B♭4"], ["F##5", "F𝄪5", "Fx5", "F♯♯5"], ["Ebb5", "E𝄫5", "E♭♭5"], ["C5", "Cn5", "C♮5"],
    ["G###5", "G♯♯♯5", "G𝄪♯5", "G#x5"], ["Abbb5", "A𝄫♭5", "A♭♭♭5"],
];
const chords = [
    ["F#m7b5", "F♯m7♭5", "F♯m7b5"], ["Bb7#9", "B♭7♯9"], ["Eb/Bb", "E♭/B♭"], ["Ebb", "E𝄫", "E♭♭"], ["C##m", "C𝄪m", "Cxm"], ["Db13#11", "D♭13♯11"],
];
const layered = [["Ebm over Dbm", "E♭m over D♭m"], ["F# over Bb", "F♯ over B♭"]];
const numerals = [["bVI", "♭VI"], ["#ivo7", "♯ivo7"]];
const keys = [["Eb major", "E♭ major"], ["F# minor", "F♯ minor"]];
const claims = [
    ["Bb4 to F#5 is an augmented fifth up", "B♭4 to F♯5 is an augmented fifth up"],
    ["Ebb4 and D4 sound the same", "E𝄫4 and D4 sound the same"],
    ["Bbm contains Db", "B♭m contains D♭"],
];

const episode = ({ pitch = "C5", symbol = "C", key = "C major", claim = "C4 to E4 is a major third" }) => `episode "Signs" { }
work w { title "A Study" }
passage p of w {
  meter 4/4
  key ${key}
  part a for oboe { bar 1: 1/1 ${pitch} }
  harmony { bar 2: 1/1 ${symbol} }
}
claim it: ${claim}
`;

// The whole model, without what tells how the file was typed.
function model(text) {
    const cwd = folder({ "x.descant": text });
    const r = descant(["build", "--to", "json", "x.descant"], { cwd });
    if (r.status !== 0)
        return r.stderr;
    const plain = (key, value) => (key === "column" ? undefined : value);
    const ascii = { "♯": "#", "♭": "b", "𝄪": "##", "𝄫": "bb", "♮": "" };
    return JSON.stringify(JSON.parse(readFileSync(join(cwd, "out/x.json"), "utf8"), plain)).replace(/[♯♭♮]|𝄪|𝄫/gu, (c) => ascii[c]);
}

function same(group, rows, make, words) {
    for (const [first, ...others] of rows) {
        const want = model(make(first));
        group.check(want.startsWith("{"), `${words} ${first} is read`, want);
        for (const other of others)
            group.same(model(make(other)), want, `${words} ${other} is ${first}`);
    }
}

export default function (group) {
    same(group, pitches, (pitch) => episode({ pitch }), "pitch");
    same(group, layered, (symbol) => episode({ symbol }), "chord");
    same(group, numerals, (symbol) => episode({ symbol }), "numeral");
    same(group, keys, (key) => episode({ key }), "key");
    for (const [first, ...others] of chords)
        for (const other of others) {
            // What was typed is kept as the symbol's text: the tones are compared.
            const tones = (symbol) => {
                const text = model(episode({ symbol }));
                return text.startsWith("{") ? JSON.stringify(JSON.parse(text).passages[0].harmony[0].layers) : text;
            };
            group.check(tones(first).startsWith("["), `chord ${first} is read`, tones(first));
            group.same(tones(other), tones(first), `chord ${other} is ${first}`);
        }
    for (const [first, ...others] of claims)
        for (const other of others) {
            const verdict = (claim) => check("x.descant", { cwd: folder({ "x.descant": episode({ claim }) }) }).claims.map((c) => `${c.verdict}: ${c.evidence}`).join();
            group.same(verdict(other), verdict(first), `claim ${other}`);
            group.check(/^holds/.test(verdict(first)), `claim ${first} holds`, verdict(first));
        }
    // Each value is its own: F# is not Gb, and a natural is not a flat.
    const midi = (pitch) => JSON.parse(model(episode({ pitch }))).passages[0].parts[0].notes[0];
    group.check(midi("F#5").midi === 78 && midi("Gb5").midi === 78 && midi("F#5").pitch !== midi("Gb5").pitch, "F# and Gb sound the same and are two pitches");
    group.check(midi("Fx5").midi === 79 && midi("B𝄫4").midi === 69 && midi("C♮5").midi === 72, "double signs and the natural sound as they should");
}
