// Every code of codes.def has a case that gives it, one that just does not, and a page of `descant explain`; where the page can
// show them, its examples are the cases: ```descant bad gives the code, ```descant good nothing wrong. What a page cannot show
// stands in tests/diag/CODE/: `bad*.descant` and `ok*.descant`, or `bad*.mjs` and `ok*.mjs` that make the bytes (default export).
// For every bad case tests/diag/CODE/ holds each diagnostic (`.expect`: code line:column) and the text as printed (`.txt`).
// (Rows D1, D2, L3, L5, L6.)
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { check, codes, crashed, descant, examples, folder, Group, root, show, whole } from "./harness.mjs";

const top = join(root, "tests/diag");

// The cases of a code: those of its page, then those of its folder.
async function inputs({ name: code, kind }) {
    const dir = join(top, code);
    const found = kind ? [] : page_inputs(code, dir);
    for (const name of existsSync(dir) ? readdirSync(dir).sort() : []) {
        const m = /^((bad|ok)[a-z0-9-]*)\.(descant|mjs)$/.exec(name);
        if (!m)
            continue;
        let cwd = dir;
        if (m[3] === "mjs")
            cwd = folder({ [`${m[1]}.descant`]: (await import(pathToFileURL(join(dir, name)).href)).default() });
        found.push({ stem: m[1], fires: m[2] === "bad", file: `${m[1]}.descant`, cwd, dir });
    }
    return found;
}

function page_inputs(code, dir) {
    const path = join(root, "compiler/diag/explain", `${code}.md`);
    const count = { bad: 0, good: 0 };
    return (existsSync(path) ? examples(path) : []).map((e) => {
        const word = e.words[0];
        const stem = `page-${word}-${++count[word]}`;
        return { stem, fires: word === "bad", known: word in count, file: `${stem}.descant`, cwd: folder({ [`${stem}.descant`]: whole(e.text) }), dir };
    });
}

// Compares with a golden file, or writes it.
function golden(group, path, got, words, bless) {
    if (bless) {
        mkdirSync(dirname(path), { recursive: true });
        writeFileSync(path, got);
    }
    if (group.check(existsSync(path), `${words}: ${path.slice(root.length + 1)} is missing`))
        group.same(got, readFileSync(path, "utf8"), `${words}: differs from ${path.slice(root.length + 1)}`);
}

function run_input(group, code, input, bless) {
    const words = `${code}/${input.file}`;
    const r = check(input.file, { cwd: input.cwd });
    if (!group.check(!crashed(r), `${words}: crashes`, r.stderr))
        return;
    const found = r.diagnostics.map(show).join("\n");
    const fires = r.diagnostics.some((d) => d.code === code);
    group.check(fires === input.fires, `${words}: should ${input.fires ? "" : "not "}give ${code}`, found);
    if (!input.fires) {
        group.check(r.diagnostics.every((d) => d.severity !== "error"), `${words}: has errors`, found);
        return;
    }
    const expect = r.diagnostics.map((d) => `${d.code} ${d.line}:${d.column}\n`).join("");
    golden(group, join(input.dir, `${input.stem}.expect`), expect, words, bless && fires);
    const text = descant(["check", "--color=never", "--width", "80", input.file], { cwd: input.cwd });
    golden(group, join(input.dir, `${input.stem}.txt`), text.stderr, words, bless && fires);
    group.check(text.stdout === "", `${words}: writes to standard output`, text.stdout);
}

export async function run(bless) {
    const group = new Group("diagnostics");
    const rows = codes();
    const names = new Set(rows.map((r) => r.name));
    for (const name of existsSync(top) ? readdirSync(top) : [])
        group.check(names.has(name) || name === "narration-positions", `tests/diag/${name}: codes.def has no such code`);
    for (const row of rows) {
        const found = await inputs(row);
        // A claim kind proves its code in its own page (claims.mjs), which must then hold both sorts.
        const path = join(root, "compiler", row.kind ? `claims/${row.kind}.md` : `diag/explain/${row.name}.md`);
        group.check(existsSync(path), `${row.name}: ${path.slice(root.length + 1)} is missing`);
        const proven = row.kind && existsSync(path) ? examples(path) : [];
        group.check(found.some((i) => i.fires) || proven.some((e) => e.words[0] === "fails" && e.words[1] === row.name), `${row.name}: no case gives it`);
        group.check(found.some((i) => !i.fires) || proven.some((e) => e.words[0] === "holds"), `${row.name}: no case just does not give it`);
        for (const input of found)
            if (group.check(input.known ?? true, `${row.name}: an example of its page is marked neither bad nor good`))
                run_input(group, row.name, input, bless);
        const told = descant(["explain", row.name]);
        group.check(told.status === 0 && told.stdout.length > 200, `descant explain ${row.name} prints a page`, told.stdout + told.stderr);
    }
    return group.end();
}
