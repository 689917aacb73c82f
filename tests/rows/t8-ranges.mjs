// Row T8, the ranges: every instrument of the library plays its lowest and highest note, a half step beyond is an error, and between
// the common range and the whole one stands a warning (that written and sounding pitch agree is asked in tests/reference).
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { check_all, root } from "../harness/harness.mjs";

const steps = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const flats = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"];

function midi(pitch) {
    const [, letter, signs, octave] = /^([A-G])(#*|b*)(-?\d+)$/.exec(pitch);
    return 12 * (Number(octave) + 1) + steps[letter] + (signs[0] === "b" ? -1 : 1) * signs.length;
}

const name = (n) => `${flats[n % 12]}${Math.floor(n / 12) - 1}`;

function instruments() {
    const text = readFileSync(join(root, "stdlib/instruments.descant"), "utf8");
    return [...text.matchAll(/^instrument ([a-z0-9-]+) \{([\s\S]*?)^\}/gm)].map(([, id, body]) => {
        const range = /^\s*range +(\S+) to (\S+)/m.exec(body), common = /^\s*common +(\S+) to (\S+)/m.exec(body);
        return { id, range: range?.slice(1).map(midi), common: common?.slice(1).map(midi) };
    });
}

const episode = (id, pitch) => `episode "Ranges" { }\nwork w { title "A Study" }\npassage p of w {\n  meter 4/4\n  part a for ${id} sounding { bar 1: 1/1 ${pitch} }\n}\n`;

export default function (group) {
    const all = instruments(), cases = [];
    group.check(all.length >= 40, `${all.length} instruments, at least 40 are asked for`);
    const ranged = all.filter((i) => i.range);
    group.check(ranged.length >= 40, `${ranged.length} instruments have a range`);
    for (const { id, range: [low, high], common } of ranged) {
        const uncommon = (n) => common && (n < common[0] || n > common[1]);
        for (const n of [low, high, ...(common ?? []), ...(common ? [common[0] - 1, common[1] + 1].filter((x) => x >= low && x <= high) : [])])
            cases.push({ id, n, want: uncommon(n) ? "uncommon-range" : "" });
        for (const n of [low - 1, high + 1])
            cases.push({ id, n, want: "out-of-range" });
    }
    const results = check_all(cases.map(({ id, n }) => ({ source: episode(id, name(n)) })));
    cases.forEach(({ id, n, want }, i) => {
        const found = results[i].diagnostics;
        group.same(found.map((d) => d.code).join(" "), want, `${id}: ${name(n)}`);
        const level = { "out-of-range": "error", "uncommon-range": "warning" }[want];
        group.check(found.every((d) => d.severity === level && d.message.includes(name(n))), `${id}: ${name(n)} is named, as ${level}`, JSON.stringify(found));
    });
}
