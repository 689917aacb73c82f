// Our theory against the general-purpose library `tonal`, on cases generated from a seed: intervals, transpositions and
// MIDI numbers of random pitches, and every chord suffix that library knows on random roots. Where the two differ, the
// suffix stands below with the reason, and must still differ: the set of disagreements is asserted exactly.
// Usage: node tests/oracle/theory.mjs [SEED], from the project's folder, after `make all deps`.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { Chord, ChordType, Interval, Note } from "./tonal.mjs";

const CASES = 1200;
const ROOTS = 6; // for each suffix
const seed = Number(process.argv[2] ?? 20);

let state = seed;
function random(n) {
    // mulberry32
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) % n;
}

const SIGNS = ["bb", "b", "", "#", "##"];
const tone = () => "CDEFGAB"[random(7)] + SIGNS[random(5)];
const pitch = () => tone() + random(9);

let passed = 0;
let failed = 0;
function check(ok, message) {
    if (ok) passed++;
    else {
        failed++;
        console.error(`oracle theory: ${message}`);
    }
}

// Builds the program that answers for us and asks it all questions at once.
function ask(questions) {
    const folder = mkdtempSync(join(tmpdir(), "theory-"));
    try {
        const program = join(folder, "ask");
        const library = join(dirname(process.env.DESCANT ?? "build/descant"), "libtheory.a");
        const flags = ["-std=c11", "-D_POSIX_C_SOURCE=200809L", "-Icompiler", "-O1"];
        execFileSync("cc", [...flags, "-o", program, "tests/oracle/theory_ask.c", library, "-lm"]);
        const input = questions.join("\n") + "\n";
        const answers = execFileSync(program, ["."], { input, encoding: "utf8", maxBuffer: 1 << 26 });
        return answers.trimEnd().split("\n");
    } finally {
        rmSync(folder, { recursive: true });
    }
}

// "-10m" of the library is "m10 down" here.
function ourName(theirs) {
    const [, minus, number, quality] = /^(-?)(\d+)([PMmAd]+)$/.exec(theirs);
    const direction = minus ? "down" : theirs === "1P" ? "same" : "up";
    return `${quality}${number} ${direction}`;
}

// Letters above C0 of a pitch like Bb3.
const letters = (pitch) => "CDEFGAB".indexOf(pitch[0]) + 7 * Number(/\d+$/.exec(pitch)[0]);

const questions = [];
const judge = []; // one function an answer

function question(text, verdict) {
    questions.push(text);
    judge.push(verdict);
}

// ---- intervals, transpositions, MIDI numbers ----------------------------------------------------

function intervalCases() {
    for (let i = 0; i < CASES; i++) {
        const [from, to] = [pitch(), pitch()];
        const half = Note.midi(to) - Note.midi(from);
        const theirs = Interval.distance(from, to);
        // Where letters rise and the sound falls (D## to Eb), or one tone is altered six steps from the other, the
        // library's answer, or none, does not lead from the first pitch to the second. Then the letters decide.
        const sound = theirs !== "" && Note.transpose(from, theirs) === to;
        question(`interval ${from} ${to}`, (ours) => {
            const want = sound ? `${ourName(theirs)} ${half}` : undefined;
            const number = 1 + Math.abs(letters(to) - letters(from));
            const parts = /^[PMmAd]+(\d+) (up|down|same) (-?\d+)$/.exec(ours) ?? [];
            const direct = Number(parts[1]) === number && Number(parts[3]) === half && ours !== `${ourName(theirs || "1P")} ${half}`;
            check(sound ? ours === want : direct, `${from} to ${to}: we say ${ours}, they say ${theirs}`);
        });
        question(`midi ${from}`, (ours) => {
            check(ours === String(Note.midi(from)), `${from}: we say ${ours}, they say ${Note.midi(from)}`);
        });
    }
}

function transposeCases() {
    const qualities = { 1: "PA", 4: "dPA", 5: "dPA", 0: "dmMA" };
    for (let i = 0; i < CASES; i++) {
        const number = 1 + random(15);
        const simple = ((number - 1) % 7) + 1;
        const choice = number === 8 || number === 15 ? "dPA" : qualities[simple] ?? qualities[0];
        const quality = choice[random(choice.length)];
        const minus = random(2) ? "-" : "";
        const from = pitch();
        const theirs = Note.transpose(from, `${minus}${number}${quality}`);
        question(`transpose ${from} ${minus}${quality}${number}`, (ours) => {
            check(ours === theirs, `${from} by ${minus}${quality}${number}: we say ${ours}, they say ${theirs}`);
        });
    }
}

// ---- chords -------------------------------------------------------------------------------------

// Suffixes that we read otherwise, or not at all, with the reason.
const GROUPS = [
    ["the circumflex is a way to type a triangle, not a lead-sheet sign", "^ ^#5 ^7 ^7#5 ^7b6 ^7#11 ^9 ^9#11 ^11 ^13 -^7 -^9"],
    ["a number or word alone with no agreed meaning", "2 4 67 dom h h7 quartal phryg"],
    ["two sevenths, or a letter after a number: no trade form", "o7M7 mb6M7 m11A"],
    ["minor with a plus: no agreed meaning", "m+"],
    ["b5 lowers the fifth; they keep it and add #11", "6b5 M6b5 7b5b9 7b9b5 7b5#9 7#9b5 7b5b13 9b5b13 7b5b9b13"],
    ["the fifth stays beside b13 (Hutchinson, Chord Symbol Specifics); they leave it out", "7b13 9b13"],
    ["b6 adds to the triad; they leave the fifth out", "M7b6 mb6b9"],
    ["#5 raises the fifth; they spell a minor sixth", "m7#5 m9#5"],
    ["a minor thirteenth has its eleventh; theirs has not", "m13 -13"],
    ["all four alterations; they choose some", "7alt alt7"],
    ["add13 adds one tone; they add the ninth too", "M7add13"],
    ["no seventh that the symbol does not name", "b9sus maj#4"],
];
const DISAGREE = Object.fromEntries(GROUPS.flatMap(([reason, list]) => list.split(" ").map((suffix) => [suffix, reason])));

const met = new Set();

function chordCase(root, suffix, bass) {
    const type = ChordType.get(suffix);
    const theirs = type.intervals.map((interval) => Note.transpose(root, interval));
    const symbol = root + (/^[b#]/.test(suffix) ? `(${suffix})` : suffix) + (bass ? `/${bass}` : "");
    question(`chord ${symbol}`, (ours) => {
        const [tones, low] = ours.split(" / ");
        const same = ours !== "?" && [...tones.split(" ")].sort().join(" ") === [...theirs].sort().join(" ");
        const agrees = same && low === (bass ?? root);
        const reason = DISAGREE[suffix];
        if (reason) met.add(suffix);
        check(agrees === !reason, `${symbol}: we say ${ours}, they say ${theirs.join(" ")}${reason ? `; listed: ${reason}` : ""}`);
    });
}

function chordCases() {
    for (const type of ChordType.all()) {
        for (const suffix of type.aliases) {
            for (let i = 0; i < ROOTS; i++) chordCase(tone(), suffix, i % 3 === 2 ? tone() : undefined);
        }
    }
}

console.log(`oracle theory: seed ${seed}`);
intervalCases();
transposeCases();
chordCases();
const answers = ask(questions);
check(answers.length === questions.length, `${questions.length} questions, ${answers.length} answers`);
questions.forEach((_, i) => judge[i](answers[i] ?? "?"));
check(questions.filter((q) => q.startsWith("chord")).length >= 1000, "fewer than 1,000 chords");
for (const suffix of Object.keys(DISAGREE)) check(met.has(suffix), `${suffix} is listed, but was never asked`);
console.log(`oracle theory: ${passed} passed, ${failed} failed`);
process.exitCode = failed ? 1 : 0;
