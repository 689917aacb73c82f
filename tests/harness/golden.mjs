// Every example, and tests/golden/NAME.descant: what each back end writes, and what each form of diagnostics says (NAME.txt,
// NAME.jsonl, NAME.sarif), is compared with the files tests/golden/NAME.*. `make bless` rewrites them; the difference is to be
// read like code. (Rows C1, N2, M1, D2, D6, L1.)
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { crashed, descant, folder, Group, root } from "./harness.mjs";

const top = join(root, "tests/golden");

const inputs = () => ["tests/golden", "examples"].flatMap((dir) => readdirSync(join(root, dir)).filter((f) => f.endsWith(".descant")).sort().map((f) => `${dir}/${f}`));

// SARIF with its lines broken, so that a difference can be read, and without the rules, which follow codes.def.
function readable(group, file, text) {
    try {
        const log = JSON.parse(text);
        delete log.runs[0].tool.driver.rules;
        return JSON.stringify(log, null, 1) + "\n";
    } catch (e) {
        group.check(false, `${file}: SARIF is no JSON: ${e.message}`, text);
        return text;
    }
}

// What the command says and writes for a file, by the golden file's name; null if it crashes.
function results(group, file) {
    const name = basename(file, ".descant");
    const out = folder();
    const built = descant(["build", "--quiet", "--out", out, file]);
    if (!group.check(!crashed(built), `${file}: crashes`, built.stderr))
        return null;
    const got = new Map(readdirSync(out).map((f) => [f, readFileSync(join(out, f))]));
    const says = (form) => descant(["check", "--format", form, "--color=never", "--width", "80", file]);
    got.set(`${name}.txt`, Buffer.from(says("text").stderr));
    got.set(`${name}.jsonl`, Buffer.from(says("json").stdout));
    got.set(`${name}.sarif`, Buffer.from(readable(group, file, says("sarif").stdout)));
    return got;
}

function run_input(group, file, bless) {
    const name = basename(file, ".descant");
    const got = results(group, file);
    if (!got)
        return;
    const golden = () => readdirSync(top).filter((f) => f.startsWith(`${name}.`) && f !== `${name}.descant`);
    if (bless) {
        golden().forEach((f) => rmSync(join(top, f)));
        for (const [f, bytes] of got)
            writeFileSync(join(top, f), bytes);
    }
    for (const f of new Set([...got.keys(), ...golden()])) {
        const kept = existsSync(join(top, f));
        if (!group.check(got.has(f), `${f} is not written any more`) || !group.check(kept, `${f} has no golden file`))
            continue;
        const a = got.get(f), b = readFileSync(join(top, f));
        if (f.endsWith(".mid"))
            group.check(a.equals(b), `${f} differs`, `${a.length} bytes, ${b.length} wanted`);
        else
            group.same(a.toString("utf8"), b.toString("utf8"), `${f} differs`);
    }
}

export function run(bless) {
    const group = new Group("outputs");
    for (const file of inputs())
        run_input(group, file, bless);
    return group.end();
}
