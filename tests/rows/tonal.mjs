// Published examples against the claims on function, sets, rows and triads: numerals in keys, cadences and sums of voice motion of
// four-part pairs, prime forms and vectors, the 48 forms of a printed row, exchanges of triads and their chains. What a claim should
// say is worked out here from the tables alone. Sources: tests/reference/data/README.md.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { check_all, root, whole } from "../harness/harness.mjs";

function table(path) {
    const [head, ...rows] = readFileSync(join(root, "tests/reference/data", path), "utf8").trimEnd().split("\n").map((l) => l.split("\t"));
    return rows.map((cells) => Object.fromEntries(head.map((name, i) => [name, cells[i] ?? ""])));
}

// The cell of the column whose name begins so.
const cell = (row, name) => row[Object.keys(row).find((k) => k.startsWith(name))];

// ---- pitches ------------------------------------------------------------------------------------------

const half_steps = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

function midi(pitch) {
    const [, letter, signs, octave] = /^([A-G])([#b]*)(-?\d+)$/.exec(pitch);
    return 12 * (Number(octave) + 1) + half_steps[letter] + [...signs].reduce((n, s) => n + (s === "#" ? 1 : -1), 0);
}

const pc = (tone) => (midi(`${tone}4`) + 120) % 12;
const plain = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];

// Tones as pitches, each the nearest above the one before.
function stacked(tones, from) {
    let low = from;
    return tones.map((tone) => {
        let octave = 0;
        while (midi(`${tone}${octave}`) <= low)
            octave++;
        low = midi(`${tone}${octave}`);
        return `${tone}${octave}`;
    });
}

// One tone of a chord put a half step higher.
const raised = (tone) => (tone.endsWith("b") ? tone.slice(0, -1) : `${tone}#`);

// ---- running ------------------------------------------------------------------------------------------

// A passage of stacks, one a bar.
const stacks = (name, list) => `passage ${name} of w {
  meter 4/4
  part keys for piano {
    bar 1: 1/1 ${list.map((pitches) => `(${pitches.join(" ")})`).join(" | ")}
  }
}
`;

const line = (name, tones) => `passage ${name} of w {
  meter 3/4
  part oboe for oboe { bar 1: 1/4 ${tones.map((tone, i) => `${tone}${midi(`${tone}4`) < 58 ? 5 : 4}${i % 3 === 2 && i < tones.length - 1 ? " |" : ""}`).join(" ")} }
  figure ${name}-line is oboe bars 1 to ${Math.ceil(tones.length / 3)}
}
`;

// Claims of one file with the verdicts they must get; one run for each file. Then every suggestion is put in place of its sentence
// and must hold.
function run(group, title, source, claims) {
    const text = (sentence) => (c, i) => `claim c${i}: ${sentence(c)}`;
    const write = (sentence) => whole(`${source}${claims.map(text(sentence)).join("\n")}\n`);
    const [result] = check_all([{ source: write((c) => c.sentence) }]);
    group.same(result.claims.length, claims.length, `${title}: every claim gets a verdict`);
    const found = Object.fromEntries(result.claims.map((c) => [c.name, c]));
    claims.forEach((c, i) => {
        const got = found[`c${i}`];
        group.check(got?.verdict === c.verdict, `${title}: \`${c.sentence}\` should be: ${c.verdict}`, got ? `${got.verdict}: ${got.evidence}` : result.stderr);
        if (c.instead)
            group.same(got?.instead, c.instead, `${title}: \`${c.sentence}\` has a true sentence beside it`);
    });
    const turned = claims.map((c, i) => ({ ...c, i, instead: found[`c${i}`]?.instead })).filter((c) => c.instead);
    if (turned.length === 0)
        return;
    const [again] = check_all([{ source: whole(`${source}${turned.map((c) => `claim c${c.i}: ${c.instead}`).join("\n")}\n`) }]);
    for (const c of turned)
        group.check(again.claims.find((d) => d.name === `c${c.i}`)?.verdict === "holds", `${title}: the sentence offered for \`${c.sentence}\` holds`, c.instead);
}

const holds = (sentence) => ({ sentence, verdict: "holds" });
const open = (sentence) => ({ sentence, verdict: "undecided" });
const fails = (sentence, instead) => ({ sentence, verdict: "fails", instead });

// ---- numerals -----------------------------------------------------------------------------------------

// Chords that have two names: the sentence offered takes the plainer one, the key's own before an applied or altered one.
const other_name = { "D major/Imaj7": "I7", "E major/IVmaj7": "IV7", "F minor/bVII": "VII", "F minor/V7/III": "VII7" };

function numerals(group, path) {
    const rows = table(path);
    let source = "";
    const claims = [];
    rows.forEach((row, i) => {
        const tones = cell(row, "tones").split(" "), bass = cell(row, "lowest") ?? cell(row, "bass");
        const rest = tones.filter((t) => t !== bass);
        const chord = (from) => stacked([bass, ...from], 40);
        const spoiled = rest.map((t, k) => (k === rest.length - 1 ? raised(t) : t));
        source += stacks(`p${i}`, [chord(rest), chord(spoiled), stacked([rest[0], bass, ...rest.slice(1)], 40)]);
        const at = (bar) => `the chord at bar ${bar} of p${i}`;
        const { key, numeral } = row;
        claims.push(holds(`${at(1)} is ${numeral} in ${key}`));
        claims.push(fails(`${at(2)} is ${numeral} in ${key}`));
        claims.push(fails(`${at(3)} is ${numeral} in ${key}`));
        const wrong = numeral === "iii" ? "vi" : "iii";
        claims.push(fails(`${at(1)} is ${wrong} in ${key}`, `${at(1)} is ${other_name[`${key}/${numeral}`] ?? numeral} in ${key}`));
    });
    run(group, path, source, claims);
}

// ---- four-part pairs ----------------------------------------------------------------------------------

// Which close two chords make by their numerals, from the definitions in H and O.
function close_of(first, second, key, bass, top) {
    const tonic = key.split(" ")[0];
    if (/^V7?$/.test(first) && /^[Ii]$/.test(second))
        return top.replace(/\d/, "") === tonic ? "a perfect authentic cadence" : "an imperfect authentic cadence";
    if (second === "V" && !/^V7?$/.test(first))
        return "a half cadence";
    if (/^V7?$/.test(first))
        return "a deceptive cadence";
    return /^(IV|iv)$/.test(first) && /^[Ii]$/.test(second) ? "a plagal cadence" : null;
}

function pairs(group) {
    const rows = table("published/voice-leading.tsv");
    let source = "";
    const claims = [];
    rows.forEach((row, i) => {
        const name = `v${i}`, { key, numerals: both } = row;
        const chords = [cell(row, "first"), cell(row, "second")].map((c) => c.split(" "));
        const stack = (c) => ["b", "t", "a", "s"].map((v, k) => `${v}:${c[3 - k]}`).join(" ");
        source += `passage ${name} of w {\n  meter 2/4\n  part choir for choir {\n    voices s a t b\n    bar 1: 1/4 (${stack(chords[0])}) (${stack(chords[1])})\n  }\n}\n`;
        // The third pair of the table is labelled I V; its second chord is D F# A, the dominant of the dominant.
        const [first, second] = chords[1].join(" ") === "D5 F#4 A3 D3" ? ["I", "V/V"] : both.split(" ");
        const sum = chords[0].reduce((n, p, k) => n + Math.abs(midi(chords[1][k]) - midi(p)), 0);
        const where = `the chord at bar 1 of ${name} to the chord at bar 1 beat 2 of ${name}`;
        claims.push(holds(`choir of ${name} reads ${first} ${second} in ${key}`));
        claims.push(fails(`choir of ${name} reads ${second} ${first} in ${key}`, `choir of ${name} reads ${first} ${second} in ${key}`));
        claims.push(holds(`${where} moves ${sum} semitones in all`));
        claims.push(fails(`${where} moves ${sum + 1} semitones in all`));
        const close = close_of(first, second, key, chords[1][3], chords[1][0]);
        for (const kind of ["a perfect authentic cadence", "an imperfect authentic cadence", "a half cadence", "a deceptive cadence", "a plagal cadence"])
            // I and I6 are one chord: there is nothing to close.
            claims.push((second === "I6" ? open : kind === close ? holds : fails)(`choir of ${name} ends with ${kind} in ${key}`));
    });
    run(group, "published/voice-leading.tsv", source, claims);
}

// ---- sets ---------------------------------------------------------------------------------------------

const digits = (packed) => [...packed].map((d) => (d === "T" ? 10 : d === "E" ? 11 : Number(d)));

function sets(group) {
    const examples = table("published/set-class-examples.tsv");
    const named = table("published/set-classes-named.tsv").filter((r) => Number(r.cardinality) >= 3 && Number(r.cardinality) <= 9);
    group.same(named.length, 208, "set classes of three to nine tones");
    for (const rule of ["rahn", "forte"]) {
        let source = `conventions { prime-form ${rule} }\n`;
        const claims = [];
        const add = (name, pcs, prime, vector, normal) => {
            source += stacks(name, [stacked(pcs.map((n) => plain[n % 12]), 47)]);
            const chord = `the chord at bar 1 of ${name}`;
            claims.push(holds(`${chord} has prime form [${prime.join(" ")}]`));
            claims.push(holds(`the interval vector of ${chord} is <${vector}>`));
            claims.push(fails(`${chord} has prime form [${prime.map((n, i) => (i === prime.length - 1 ? n + 1 : n)).join(" ")}]`, `the prime form of ${chord} is [${prime.join(" ")}]`));
            claims.push(fails(`${chord} has interval vector <${vector.split(" ").reverse().join(" ") === vector ? "9 9 9 9 9 9" : vector.split(" ").reverse().join(" ")}>`));
            if (normal)
                claims.push(holds(`the normal form of ${chord} is [${normal}]`));
        };
        named.forEach((row, i) => {
            const prime = digits(cell(row, rule === "rahn" ? "prime form after Rahn" : "prime form after Forte"));
            // Every second one upside down, each on another tone.
            add(`n${i}`, prime.map((n) => (i % 2 ? i + 24 - n : i + n)), prime, row["interval-class vector"]);
        });
        if (rule === "rahn")
            examples.forEach((row, i) => {
                const pcs = cell(row, "pitch classes").split(" ").map(Number);
                add(`e${i}`, [...pcs].reverse(), digits(row["prime form"]), row["interval-class vector"], pcs.join(" "));
            });
        run(group, `set classes after ${rule}`, source, claims);
    }
}

// ---- rows ---------------------------------------------------------------------------------------------

function rows(group) {
    const forms = table("published/row-forms.tsv");
    const tones = (row) => row["pitch classes"].split(" ").map((n) => plain[Number(n)]);
    let source = line("theme", tones(forms.find((r) => r.form === "P" && cell(r, "level by the book") === "0")));
    const claims = [holds("theme-line is a twelve-tone row")];
    group.same(forms.length, 48, "forms of the printed row");
    forms.forEach((row, i) => {
        if (row.form === "P" && cell(row, "level by the book") === "0")
            return;
        const level = plain[Number(cell(row, "level by the book"))], first = plain[Number(row["level by first tone"])];
        const list = tones(row), name = `f${i}`;
        source += line(name, list);
        claims.push(holds(`${name}-line is ${row.form} of theme-line at ${level}`));
        claims.push(holds(`${name}-line is ${row.form} of theme-line beginning on ${first}`));
        claims.push(holds(`${name}-line is ${row.form} of theme-line ending on ${list[11]}`));
        const other = { P: "R", R: "P", I: "RI", RI: "I" }[row.form];
        claims.push(fails(`${name}-line is ${other} of theme-line`));
        claims.push(fails(`${name}-line is ${row.form} of theme-line at ${plain[(pc(level) + 1) % 12]}`));
    });
    const swapped = tones(forms[1]);
    [swapped[4], swapped[5]] = [swapped[5], swapped[4]];
    source += line("swapped", swapped);
    claims.push(fails("swapped-line is P of theme-line"), holds("swapped-line is a twelve-tone row"));
    run(group, "published/row-forms.tsv", source, claims);
}

// ---- triads -------------------------------------------------------------------------------------------

const names = { P: "a parallel exchange", R: "a relative exchange", L: "a leading-tone exchange", S: "a slide", N: "a nebenverwandt exchange", H: "a hexatonic pole" };

function triads(group) {
    const claims = [];
    for (const row of table("published/triad-exchange-definitions.tsv")) {
        const example = row["published example"];
        claims.push(holds(`${example} is ${names[row.operation]}`));
        claims.push(holds(`${example} is ${row["as compound"]}`));
        for (const other of Object.keys(names).filter((o) => o !== row.operation))
            claims.push(fails(`${example} is ${other}`, `${example} is ${row.operation}`));
    }
    for (const row of table("triad-exchanges.tsv")) {
        const result = cell(row, "result");
        claims.push(holds(`${row.triad} to ${result} is ${row.exchange}`));
        claims.push(holds(`${row.triad} and ${result} share ${row["common tones"]} tones`));
        claims.push(fails(`${row.triad} to ${result} is ${row.exchange === "P" ? "R" : "P"}`, `${row.triad} to ${result} is ${row.exchange}`));
        const sum = { P: 1, L: 1, R: 2, S: 2, N: 2, H: 3 }[row.exchange];
        claims.push(holds(`${row.triad} to ${result} moves ${sum} semitones by the shortest way`));
    }
    run(group, "exchanges of triads", "", claims);
}

function chains(group) {
    let source = "";
    const claims = [];
    table("published/triad-chains.tsv").forEach((row, i) => {
        const list = cell(row, "triads").split(" "), word = cell(row, "operations");
        source += `passage chain${i} of w {\n  meter 4/4\n  harmony { bar 1: 1/1 ${list.join(" ")} }\n}\n`;
        const stream = `the harmony of chain${i}`;
        const short = word.slice(0, 2).repeat(word.length / 2) === word ? word.slice(0, 2) : word;
        claims.push(holds(`${stream} moves by ${short}`));
        claims.push(fails(`${stream} moves by ${short.length === 2 ? short[1] + short[0] : [...short].reverse().join("") === short ? "PPP" : [...short].reverse().join("")}`));
        if (row.chain.startsWith("hexatonic"))
            claims.push(holds(`${stream} runs through a hexatonic cycle`), fails(`${stream} runs through an octatonic cycle`));
        if (row.chain.startsWith("octatonic"))
            claims.push(holds(`${stream} runs through an octatonic cycle`), fails(`${stream} runs through a hexatonic cycle`));
        if (short === word && word.length <= 12)
            claims.push(holds(`${list[0]} to ${list[list.length - 1]} is ${word}`));
    });
    run(group, "published/triad-chains.tsv", source, claims);
}

export default function (group) {
    numerals(group, "published/roman-numerals.tsv");
    numerals(group, "roman-numerals.tsv");
    pairs(group);
    sets(group);
    rows(group);
    triads(group);
    chains(group);
}
