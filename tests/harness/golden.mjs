// tests/golden/NAME.descant and every example: what each back end writes, and what each form of diagnostics says, is compared
// with the files of tests/golden/NAME/. `make bless` rewrites them; the difference is to be read like code. (Rows C1, N2, M1, D2,
// D6, L1.)
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { crashed, descant, folder, Group, root } from "./harness.mjs";

const top = join(root, "tests/golden");

function inputs() {
    const list = (dir) => (existsSync(join(root, dir)) ? readdirSync(join(root, dir)) : []).filter((f) => f.endsWith(".descant")).sort().map((f) => ({ dir: join(root, dir), file: f }));
    return [...list("tests/golden"), ...list("examples")];
}

function run_input(group, { dir, file }, bless) {
    const name = basename(file, ".descant");
    const got = new Map();
    const out = folder();
    const built = descant(["build", "--color=never", "--width", "80", "--out", out, file], { cwd: dir });
    if (!group.check(!crashed(built), `${file}: crashes`, built.stderr))
        return;
    for (const f of readdirSync(out))
        got.set(f, readFileSync(join(out, f)));
    const says = (form) => descant(["check", "--format", form, "--color=never", "--width", "80", file], { cwd: dir });
    got.set("check.txt", Buffer.from(says("text").stderr));
    got.set("check.json", Buffer.from(says("json").stdout));
    // One object a line would hide what changes: SARIF is compared with its lines broken.
    const sarif = says("sarif").stdout;
    try {
        const log = JSON.parse(sarif);
        delete log.runs[0].tool.driver.rules; // they follow codes.def; their own test is in tests/unit/render.c
        got.set("check.sarif", Buffer.from(JSON.stringify(log, null, 1) + "\n"));
    } catch (e) {
        group.check(false, `${file}: SARIF is no JSON: ${e.message}`, sarif);
    }
    const want = join(top, name);
    if (bless) {
        rmSync(want, { recursive: true, force: true });
        mkdirSync(want, { recursive: true });
        for (const [f, bytes] of got)
            writeFileSync(join(want, f), bytes);
    }
    if (!group.check(existsSync(want), `${file}: tests/golden/${name}/ is missing`))
        return;
    for (const f of new Set([...got.keys(), ...readdirSync(want)])) {
        const words = `${name}/${f}`;
        const there = existsSync(join(want, f));
        if (!group.check(got.has(f), `${words} is not written any more`) || !group.check(there, `${words} is new`))
            continue;
        const a = got.get(f), b = readFileSync(join(want, f));
        if (f.endsWith(".mid"))
            group.check(a.equals(b), `${words} differs`, `${a.length} bytes, ${b.length} wanted`);
        else
            group.same(a.toString("utf8"), b.toString("utf8"), `${words} differs`);
    }
}

export function run(bless) {
    const group = new Group("outputs");
    for (const input of inputs())
        run_input(group, input, bless);
    return group.end();
}
