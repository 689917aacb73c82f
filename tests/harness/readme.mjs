// README.md: its listings are files, and what its console blocks show is what the commands print now.
//
//   ```descant NAME    a file of that name, which must be in the one style
//   ```console         lines that begin with `$ ` are run by sh in a folder with those files; what they print, both streams,
//                      follows them. `make bless` writes it.
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { dirname, join } from "node:path";
import { descant, examples, folder, Group, program, root } from "./harness.mjs";

const path = join(root, "README.md");

// Runs a command as the reader would, with the compiler in the path; the status of the last one is kept for `echo $?`.
function run_line(command, cwd, status) {
    const env = { PATH: `${dirname(program)}:${process.env.PATH}`, LC_ALL: "C", LSAN_OPTIONS: process.env.LSAN_OPTIONS ?? "" };
    const r = spawnSync("sh", ["-c", `(exit ${status}); ${command}`], { cwd, env, encoding: "utf8", timeout: 60000, stdio: ["ignore", "pipe", "pipe"] });
    const text = r.stdout + r.stderr;
    return { text: text && !text.endsWith("\n") ? `${text}\n` : text, status: r.status };
}

// The block as it would be printed now.
function replay(block, cwd) {
    let out = "", status = 0;
    for (const line of block.split("\n").filter((l) => l.startsWith("$ "))) {
        const r = run_line(line.slice(2), cwd, status);
        status = r.status;
        out += `${line}\n${r.text}`;
    }
    return out;
}

export function run(bless) {
    const group = new Group("readme");
    if (!group.check(existsSync(path), "README.md is missing"))
        return group.end();
    const text = readFileSync(path, "utf8");
    const listings = examples(path);
    group.check(listings.length > 0 && listings.every((e) => e.words.length === 1), "each listing names its file");
    const cwd = folder(Object.fromEntries(listings.map((e) => [e.words[0], e.text])));
    for (const e of listings)
        group.same(descant(["format", "-"], { cwd, input: e.text }).stdout, e.text, `${e.words[0]} is in the one style`);
    let blocks = 0;
    const now = text.replace(/^```console\n([^]*?)^```$/gm, (whole, block) => {
        blocks++;
        const want = replay(block, cwd);
        if (!bless)
            group.same(block, want, `console block ${blocks} shows what is printed`);
        return `\`\`\`console\n${want}\`\`\``;
    });
    group.check(blocks > 1, "there are console blocks");
    for (const [, name] of text.matchAll(/`((?:compiler|grammar|tests|stdlib|examples)\/[\w./-]*)`/g))
        group.check(/NAME|CODE/.test(name) || existsSync(join(root, name)), `${name} exists`);
    if (bless)
        writeFileSync(path, now);
    return group.end();
}
