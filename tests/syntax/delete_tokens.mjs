// One slip, few messages (row L8): each word, number, mark and text of examples/lamp.descant is taken out in turn. At most two
// messages may follow about how the file is written and what its names, music and times are, and what does not depend on the slip
// is checked as before: every claim is still listed, and one about another passage still holds.
//
// Verdicts are not counted (families `claims` and the two codes of words that make them): with a note less the music is other
// music, and claims about it may well fail. Notes that the file gives in any case are not counted either.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { codes, crashed, descant, folder, lines, root } from "../harness/harness.mjs";

const counted = ["text", "syntax", "names", "files", "music", "time"];

// A second passage, which no statement of the example speaks of.
const other = `
passage quay of lamp-cue {
  meter 3/4
  part bell for glockenspiel   sounding {
    bar 1:  1/4 C6 E6 G6
  }
}
claim toll: bell of quay rises throughout
`;

// Family of each code, from codes.def.
function families() {
    const text = readFileSync(join(root, "compiler/diag/codes.def"), "utf8");
    const rows = [...text.matchAll(/^DIAG\(\w+, "([^"]+)", LEVEL_\w+, "(\w+)"/gm)].map((m) => [m[1], m[2]]);
    return new Map([...rows, ...codes().filter((c) => c.kind).map((c) => [c.name, "claims"])]);
}

// Every token that says something: ends of statements and narration have none.
function tokens(text, cwd) {
    const starts = [0];
    for (const m of text.matchAll(/\n/g))
        starts.push(m.index + 1);
    const dump = descant(["check", "--quiet", "--dump=tokens", "whole.descant"], { cwd }).stdout;
    return [...dump.matchAll(/^(\d+):(\d+) \d+ `(.+)`$/gm)].map(([, line, column, word]) => {
        const lo = starts[line - 1] + Number(column) - 1;
        return { lo, hi: lo + word.length, line: Number(line), word };
    }).filter((t) => text.slice(t.lo, t.hi) === t.word && !/^\s/.test(t.word));
}

// The statement at the top level that a place lies in, from its line to the next that begins without a blank. Without its first word
// a line goes on from the statement before, so that this one belongs to the slip as well.
function statements(text, at) {
    const starts = [...text.matchAll(/^(?=[a-z])/gm)].map((m) => m.index);
    const i = starts.findLastIndex((start) => start <= at);
    return text.slice(starts[starts[i] === at && i > 0 ? i - 1 : i], starts[i + 1]);
}

// Diagnostics and claims by file; null if the command crashes.
function objects(names, cwd) {
    const r = descant(["check", "--format", "json", ...names], { cwd });
    if (crashed(r))
        return null;
    const found = new Map(names.map((name) => [name, []]));
    for (const o of lines(r.stdout))
        found.get(o.file)?.push(o);
    return found;
}

export default function (group) {
    const example = (name) => readFileSync(join(root, "examples", name), "utf8");
    const text = example("lamp.descant") + other;
    const cwd = folder({ "whole.descant": text, "under-the-score.descant": example("under-the-score.descant") });
    const family = families();
    const whole = objects(["whole.descant"], cwd)?.get("whole.descant") ?? [];
    const told = new Set(whole.filter((o) => o.kind === "diagnostic").map((d) => d.code + d.message));
    const claims = whole.filter((o) => o.kind === "claim").map((c) => c.name);
    const list = tokens(text, cwd);
    group.check(claims.length === 9 && whole.every((o) => o.kind !== "claim" || o.verdict === "holds"), "every claim of the whole file holds");
    group.check(list.length > 350, `${list.length} tokens`);

    const names = list.map((_, i) => `without-${i}.descant`);
    const variants = folder({ "under-the-score.descant": example("under-the-score.descant"),
                              ...Object.fromEntries(list.map((t, i) => [names[i], text.slice(0, t.lo) + text.slice(t.hi)])) });
    const found = objects(names, variants);
    if (!group.check(found, "no variant crashes the command"))
        return;
    list.forEach((t, i) => {
        const own = found.get(names[i]) ?? [];
        const what = `without \`${t.word}\` of line ${t.line}`;
        const says = own.filter((o) => o.kind === "diagnostic" && counted.includes(family.get(o.code)) && !told.has(o.code + o.message));
        group.check(says.length <= 2, `${what}: ${says.length} messages`, says.map((d) => `${d.line}:${d.column}: [${d.code}] ${d.message}`).join("\n"));
        const here = statements(text, t.lo);
        const missing = claims.filter((name) => !own.some((o) => o.kind === "claim" && o.name === name) && !new RegExp(`^claim ${name}\\b`, "m").test(here));
        group.check(missing.length === 0, `${what}: claims are not listed`, missing.join(", "));
        if (!/^(claim toll|passage quay)\b/m.test(here))
            group.check(own.some((o) => o.name === "toll" && o.verdict === "holds"), `${what}: a claim about another passage is not checked`);
    });
}
