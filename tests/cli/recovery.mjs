// One mistake, few messages (row L8): with any one word, number or mark of a valid file taken out there are at most two
// errors. Verdicts do not count: music with a note less is other music, and claims about it may well fail.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { codes, crashed, descant, folder, lines, root } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

const verdicts = new Set([...codes().filter((c) => c.kind).map((c) => c.name), "motion-not-tonal", "claim-fails", "words-claim-fails", "words-claim-undecided"]);

// Tokens of the file outside narration: where they begin and end.
function tokens(text) {
    const found = [];
    const prose = [...text.matchAll(/say[^\n{]*\{\n[\s\S]*?\n\}|say[^\n{]*\{.*\}/g)].map((m) => [m.index + m[0].indexOf("{") + 1, m.index + m[0].length - 1]);
    for (const m of text.matchAll(/\/\/[^\n]*|"[^"\n]*"|[\w#:./-]+|[{}(),:=|]/g))
        if (!m[0].startsWith("//") && !prose.some(([lo, hi]) => m.index >= lo && m.index < hi))
            found.push([m.index, m.index + m[0].length, m[0]]);
    return found;
}

function run_text(group, what, text, library) {
    const list = tokens(text);
    group.check(list.length > 80, `${what}: ${list.length} tokens`);
    const cwd = folder({ ...library, ...Object.fromEntries(list.map(([lo, hi], i) => [`without-${i}.descant`, text.slice(0, lo) + text.slice(hi)])) });
    const names = list.map((_, i) => `without-${i}.descant`);
    const r = descant(["check", "--format", "json", ...names], { cwd });
    if (!group.check(!crashed(r), `${what}: crashes`, r.stderr))
        return;
    const errors = lines(r.stdout).filter((o) => o.kind === "diagnostic" && o.severity === "error" && !verdicts.has(o.code));
    list.forEach(([lo, , word], i) => {
        const line = text.slice(0, lo).split("\n").length;
        const own = errors.filter((d) => d.file === names[i]);
        group.check(own.length <= 2, `${what} without \`${word}\` of line ${line}: ${own.length} errors`, own.map((d) => `${d.line}:${d.column}: [${d.code}] ${d.message}`).join("\n"));
    });
}

export default function (group) {
    run_text(group, "a short episode", fine, {});
    const example = (name) => readFileSync(join(root, "examples", name), "utf8");
    const library = { "under-the-score.descant": example("under-the-score.descant") };
    for (const name of ["lamp.descant", "chorale.descant"])
        run_text(group, name, example(name), library);
}
