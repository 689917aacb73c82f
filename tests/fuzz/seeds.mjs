// Seeds for the fuzz targets, from what the project has anyway: examples, tests, the pages of claims and codes, the manual.
//
//   node tests/fuzz/seeds.mjs FOLDER        writes FOLDER/TARGET/NAME
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { examples, root, whole } from "../harness/harness.mjs";

const out = process.argv[2];
const read = (path) => readFileSync(join(root, path), "utf8");
const list = (dir, end) => (existsSync(join(root, dir)) ? readdirSync(join(root, dir), { recursive: true }).map(String).filter((f) => f.endsWith(end)).sort().map((f) => join(dir, f)) : []);

const library = `\n//// under-the-score.descant\n${read("examples/under-the-score.descant")}`;
const texts = new Map();
for (const path of list("examples", ".descant"))
    texts.set(path, read(path) + (read(path).includes("under-the-score.descant") ? library : ""));
for (const path of list("tests/diag", ".descant"))
    texts.set(path, read(path));
for (const path of [...list("compiler/claims", ".md"), ...list("compiler/diag/explain", ".md"), ...list("grammar", ".md")])
    examples(join(root, path)).forEach((e, i) => texts.set(`${path}-${i}`, whole(e.text)));
for (const path of list("stdlib", ".descant")) {
    // Whole libraries are long; their first entries show the form.
    texts.set(path, read(path).split("\n").slice(0, 80).join("\n").replace(/[^}]*$/, ""));
}

const targets = { compile: new Set(), outputs: new Set(), format: new Set(), claim: new Set(), narration: new Set(), words: new Set() };
for (const text of texts.values()) {
    for (const target of ["compile", "outputs", "format"])
        targets[target].add(text);
    const names = [...text.matchAll(/^ *passage ([a-z0-9-]+)/gm)].map((m) => m[1]);
    for (const [, sentence] of text.matchAll(/^ *claim [a-z0-9-]+: *((?:.*\n?)(?: {8,}.*\n)*)/gm)) {
        const fitted = names.reduce((s, name) => s.replaceAll(new RegExp(`\\b${name}\\b`, "g"), "lamp"), sentence.replace(/\s+/g, " ").trim());
        targets.claim.add(fitted);
    }
    for (const [, prose] of text.matchAll(/say[^\n{]*\{\n([\s\S]*?)\n\}/g))
        targets.narration.add(prose);
    for (const line of text.split("\n"))
        if (/[A-G][#b]?\d|\bover\b|\d:\d\d|\b[iIvV]+\b/.test(line))
            targets.words.add(line.replace(/[():,|]/g, (c) => (c === ":" ? c : " ")).trim());
}
for (const path of list("tests/reference/data", ".tsv"))
    for (const row of read(path).split("\n").filter((r) => r && !r.startsWith("#")))
        targets.words.add(row.replaceAll("\t", " "));

for (const [target, set] of Object.entries(targets)) {
    rmSync(join(out, target), { recursive: true, force: true });
    mkdirSync(join(out, target), { recursive: true });
    [...set].forEach((text, i) => writeFileSync(join(out, target, `seed-${String(i).padStart(4, "0")}`), text));
}
