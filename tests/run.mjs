// Runs the command over everything under tests/ and the examples in the manual and the pages.
//
//   node tests/run.mjs [--bless] [GROUP...]
//
// The command is build/descant, or what DESCANT names.
import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Group, program, root } from "./harness/harness.mjs";

const bless = process.argv.includes("--bless");
const wanted = process.argv.slice(2).filter((a) => a !== "--bless");
const groups = ["claims", "diag", "positions", "golden", "reference", "readme", "cli", "syntax", "rows"].filter((g) => !wanted.length || wanted.includes(g));

if (!existsSync(program)) {
    console.error(`${program} is not built`);
    process.exit(2);
}

let failed = 0;
for (const name of groups) {
    if (!["cli", "syntax", "rows"].includes(name)) {
        failed += await (await import(`./harness/${name}.mjs`)).run(bless);
        continue;
    }
    for (const file of bless ? [] : readdirSync(join(root, "tests", name)).filter((f) => f.endsWith(".mjs")).sort()) {
        const group = new Group(`${name}/${file.slice(0, -4)}`);
        await (await import(pathToFileURL(join(root, "tests", name, file)).href)).default(group);
        failed += group.end();
    }
}
process.exit(failed ? 1 : 0);
