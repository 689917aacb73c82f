// --deps writes rules that make reads (row D7), with spaces, # and $ in names, and none that break when a library is deleted.
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { descant, folder, program } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

const episode = (use) => fine.replace("{ language", `{ use "${use}"   language`);
const library = 'library "terms"\nspell "lantern" never "lanturn"\n';

function make(cwd, ...args) {
    return spawnSync("make", args, { cwd, encoding: "utf8", env: { PATH: process.env.PATH, DESCANT: program } });
}

export default function (group) {
    // make itself cannot have a # or a space in every place, but its reader of rules can.
    const odd = "a b#c$d";
    const cwd = folder({ [`${odd}.descant`]: episode("my terms.descant"), "my terms.descant": library });
    const r = descant(["build", "--to", "md", "--out", "out", "--deps", "odd.d", `${odd}.descant`], { cwd });
    group.check(r.status === 0, "builds a file with an odd name", r.stderr);
    const rules = r.status === 0 ? readFileSync(join(cwd, "odd.d"), "utf8") : "";
    group.same(rules, "out/a\\ b\\#c$$d.md: \\\n  a\\ b\\#c$$d.descant \\\n  my\\ terms.descant\nmy\\ terms.descant:\n", "the rules of a file with an odd name");
    writeFileSync(join(cwd, "Makefile"), "all:\n\ninclude odd.d\n");
    const read = make(cwd, "-p", "-n", "all");
    group.check(read.status === 0 && /^out\/a b#c\$d\.md:/m.test(read.stdout), "make reads them", read.stderr);

    const plain = folder({
        "ep.descant": episode("terms.descant"),
        "terms.descant": library,
        "Makefile": "out/ep.md: ep.descant\n\t@echo building\n\t@$(DESCANT) build -q --to md --deps ep.d ep.descant\n-include ep.d\n",
    });
    group.check(/building/.test(make(plain).stdout), "make builds at first");
    group.check(/up to date/.test(make(plain).stdout), "make has nothing to do then");
    const later = new Date(Date.now() + 5000);
    writeFileSync(join(plain, "terms.descant"), library.replace("lanturn", "lantarn"));
    spawnSync("touch", ["-d", later.toISOString(), "terms.descant"], { cwd: plain });
    group.check(/building/.test(make(plain).stdout), "make builds again when a library changes");
    rmSync(join(plain, "terms.descant"));
    writeFileSync(join(plain, "ep.descant"), fine);
    const gone = make(plain);
    group.check(gone.status === 0, "a deleted library does not break make", gone.stderr);
    group.check(descant(["check", "--deps", "x.d", "ep.descant"], { cwd: plain }).status === 2, "--deps is for build");
}
