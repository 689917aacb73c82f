// Writes made-up episodes that are as long, and made of the same things, as examples/breakwater.descant.
//
//   node tests/bench/generate.mjs FOLDER BYTES [SEED]
//
// Each episode is the example with its music moved by one of five intervals, all its names invented anew, and two words
// in five of its narration exchanged for others. Eight of them make a series and use its library. What the example
// claims still holds in all of them. The same seed gives the same bytes.
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const EPISODES_A_SERIES = 8;
const root = join(dirname(fileURLToPath(import.meta.url)), "../..");
const mould = readFileSync(join(root, "examples/breakwater.descant"), "utf8");
const libraryMould = readFileSync(join(root, "examples/under-the-score.descant"), "utf8");

/** Numbers in [0, n) from a seed: the minimal standard generator. */
function dice(seed) {
    let state = (seed % 2147483646) + 1;
    return (n) => {
        state = (state * 48271) % 2147483647;
        return state % n;
    };
}

// ---- names ------------------------------------------------------------------------------------------

const onsets = ["b", "d", "f", "g", "k", "l", "m", "n", "p", "r", "s", "t", "v", "z", "br", "tr", "st", "gl", "pl", "sk"];
const vowels = ["a", "e", "i", "o", "u", "ai", "ou", "ea"];

function invent(roll, syllables) {
    let word = "";
    for (let i = 0; i < syllables; i++)
        word += onsets[roll(onsets.length)] + vowels[roll(vowels.length)];
    return word;
}

const capital = (word) => word[0].toUpperCase() + word.slice(1);

/** Invents each name once; the number keeps two names of a folder apart. */
function naming(roll, number) {
    const known = new Map();
    return (old) => {
        if (!known.has(old))
            known.set(old, `${invent(roll, 3)}-${number}`);
        return known.get(old);
    };
}

/** The film, its people and places: in titles, in `spell` and in the narration of a whole series. */
function peopleOf(roll) {
    const people = new Map();
    for (const [name, ...wrong] of [["Ellering", "Elering", "Ellerring", "Ellerin"], ["Orrin", "Orin", "Orrinn"]]) {
        const made = capital(invent(roll, 3));
        people.set(name, made);
        wrong.forEach((w, i) => people.set(w, made.slice(0, 3) + made[2 + (i % 2)].repeat(i + 1) + made.slice(3)));
    }
    for (const name of ["Maud", "Breakwater", "Drowned", "Quill", "Tobias"])
        people.set(name, capital(invent(roll, 2)));
    return people;
}

const rename = (text, people) => text.replace(/[A-Z][a-z]+/g, (word) => people.get(word) ?? word);

// ---- music ------------------------------------------------------------------------------------------

const LETTERS = "CDEFGAB";
const NATURAL = [0, 2, 4, 5, 7, 9, 11];
// Further, and an instrument would leave its range. `keeper` is how the episode's figure then follows the library's.
const MOVES = [
    { steps: 0, halfSteps: 0, keeper: "down a major second" },
    { steps: 1, halfSteps: 1, keeper: "down an augmented unison" },
    { steps: 2, halfSteps: 3, keeper: "up a minor second" },
    { steps: -1, halfSteps: -1, keeper: "down a minor third" },
    { steps: -1, halfSteps: -2, keeper: "down a major third" },
];

function moveTone(letter, sign, octave, { steps, halfSteps }) {
    const from = LETTERS.indexOf(letter);
    const alter = { "": 0, "#": 1, "##": 2, b: -1, bb: -2 }[sign];
    const to = (from + steps + 7) % 7;
    const octaves = Math.floor((from + steps) / 7);
    const moved = NATURAL[from] + alter + halfSteps - NATURAL[to] - 12 * octaves;
    const signs = { 0: "", 1: "#", 2: "##", "-1": "b", "-2": "bb" };
    return LETTERS[to] + (signs[moved] ?? null) + (octave === "" ? "" : Number(octave) + octaves);
}

/** Moves every pitch and chord symbol of the lines; a figure after a symbol of the harmony is no octave. */
function moveMusic(lines, move) {
    let harmony = false;
    return lines.map((line) => {
        if (/^ {2}harmony/.test(line))
            harmony = true;
        else if (/^ {2}\}/.test(line))
            harmony = false;
        if (line.includes('"') || line.startsWith("//"))
            return line;
        return line.replace(/(?<![A-Za-z.-])([A-G])(##|bb|#|b)?(-?\d)?(?=[\s/)]|m\b|dim|$)(?! flat)/g,
            (_, letter, sign = "", octave = "") =>
                harmony ? moveTone(letter, sign, "", move) + octave : moveTone(letter, sign, octave, move));
    });
}

// ---- narration --------------------------------------------------------------------------------------

const SAY = /(?<=^then say \{\n)[\s\S]*?(?=\n\}$)/gm;
const spoken = mould.match(SAY).join(" ");
const vocabulary = [...new Set(spoken.replace(/\[[^\]]*\]\([^)]*\)/g, " ").match(/(?<![A-Za-z])[a-z]{4,}(?![A-Za-z])/g))];

/** Two words in five become another one of the narration, of about the same length. */
function exchangeWords(roll, text) {
    return text.replace(/\[[^\]]*\]\([^)]*\)|(?<![A-Za-z])[a-z]{4,}(?![A-Za-z])/g, (word) => {
        if (word[0] === "[" || roll(5) > 1)
            return word;
        for (let tries = 0; tries < 5; tries++) {
            const other = vocabulary[roll(vocabulary.length)];
            if (Math.abs(other.length - word.length) < 2)
                return other;
        }
        return word;
    });
}

// ---- files ------------------------------------------------------------------------------------------

const passages = ["fog", "bells", "psalm", "saint", "depths"];
const parts = ["horn", "clarinet", "strings", "foghorn", "struck", "glass", "trumpet", "trombones", "tuba", "veil", "drops",
    "lantern", "ground"];
const figures = ["call", "answer", "toll", "echo", "psalm-tune", "saint-tune", "keeper-again"];
const shared = ["lamp-cue", "bell-cue", "o-wie-selig", "session-book", "chorale-book", "keeper"];

const wordAlone = (words) => new RegExp(`(?<![\\w-])(${words.join("|")})(?![\\w-])`, "g");

/** New names for what the music declares, wherever a line of music or a claim speaks of it. */
function renameMusic(text, name) {
    return text
        .replace(new RegExp(`(?<=part )(${parts.join("|")})(?= for )`, "g"), name)
        .replace(new RegExp(`(?<![\\w-])(${parts.join("|")})(?= (?:of (?:${passages.join("|")})|bar \\d))`, "g"), name)
        .replace(wordAlone([...passages, ...figures]), name);
}

function episode(number, series) {
    const roll = dice(series.seed * 1009 + number);
    const name = naming(roll, number);
    const move = MOVES[number % MOVES.length];
    const text = mould.replace("repeats keeper down a major second", `repeats keeper ${move.keeper}`)
        .replace(wordAlone(shared), series.name)
        .replace('"under-the-score.descant"', `"${series.file}"`)
        .replace(/^( {2}number +)\d+/m, `$1${number}`)
        .replace(/(?<=part 3: )The Drowned Bell/, capital(invent(roll, 4)));
    const sections = text.split(/^(?=passage fog |at 0:00 chapter )/m);
    const [head, music, narration] = sections;
    const claims = [...music.matchAll(/^claim ([\w-]+):/gm)].map((m) => m[1]);
    const facts = [...head.matchAll(/^(?:fact|reading) ([\w-]+)/gm)].map((m) => m[1]);
    const links = (s) => s.replace(/(?<=\((?:claim|fact|reading|figure|passage):)[\w-]+/g, name)
        .replace(new RegExp(`(?<=^then (?:play|show|demo) )(${passages.join("|")})`, "gm"), name);
    const newMusic = renameMusic(moveMusic(music.split("\n"), move).join("\n"), name)
        .replace(new RegExp(`(?<=^(?:claim|errata) )(${claims.join("|")})(?=:| \\{)`, "gm"), name);
    const newHead = head.replace(new RegExp(`(?<=^(?:fact|reading) )(${facts.join("|")})`, "gm"), name);
    return rename(newHead + newMusic + links(narration).replace(SAY, (words) => exchangeWords(roll, words)), series.people);
}

function newSeries(seed, number) {
    const roll = dice(seed * 131 + number);
    const name = naming(roll, `s${number}`);
    const people = peopleOf(roll);
    return {
        seed,
        file: `series-${number}.descant`,
        name,
        people,
        text: rename(libraryMould.replace(wordAlone(shared), name), people),
    };
}

const [folder, wanted, seed = "1"] = process.argv.slice(2);
if (!folder || !(Number(wanted) > 0)) {
    console.error("usage: generate.mjs FOLDER BYTES [SEED]");
    process.exit(2);
}
mkdirSync(folder, { recursive: true });
let bytes = 0, series;
function write(name, text) {
    writeFileSync(join(folder, name), text);
    bytes += Buffer.byteLength(text);
}
for (let n = 0; bytes < Number(wanted); n++) {
    if (n % EPISODES_A_SERIES === 0) {
        series = newSeries(Number(seed), n / EPISODES_A_SERIES + 1);
        write(series.file, series.text);
    }
    write(`episode-${n + 1}.descant`, episode(n + 1, series));
}
