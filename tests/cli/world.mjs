// The world's failures (row D4): full disk, closed pipe, a folder that cannot be made. Status 2, which file and why, the old
// output whole, and nothing left behind.
import { closeSync, mkdirSync, openSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { descant, folder, program } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

const left = (dir) => readdirSync(dir, { recursive: true }).filter((f) => String(f).includes(".tmp-"));

export default function (group) {
    const full = openSync("/dev/full", "w");
    for (const args of [["check", "--format", "json", "-"], ["check", "--format", "sarif", "-"], ["--help"], ["explain"], ["check", "--dump", "model", "-"]]) {
        const cwd = folder({ "x.descant": fine });
        const r = descant(args.map((a) => (a === "-" ? "x.descant" : a)), { cwd, stdio: ["ignore", full, "pipe"] });
        group.check(r.status === 2, `descant ${args.join(" ")} to a full disk: status ${r.status}`, r.stderr);
        group.check(/descant: standard output: No space left on device/.test(r.stderr), `descant ${args.join(" ")} to a full disk says so`, r.stderr);
    }
    closeSync(full);

    const cwd = folder({ "x.descant": fine, "file": "in the way" });
    // The reader has gone before the first byte is written.
    spawnSync("sh", ["-c", `{ sleep 0.3; "$0" check --format json x.descant 2>said; echo $? >status; } | true`, program], { cwd });
    group.same(readFileSync(join(cwd, "status"), "utf8"), "2\n", "status of a pipe that nobody reads");
    group.check(/standard output: Broken pipe/.test(readFileSync(join(cwd, "said"), "utf8")), "a pipe that nobody reads is named");
    const closed = spawnSync("sh", ["-c", `"$0" check --format json x.descant >&-`, program], { cwd });
    group.check(closed.status === 2 && /standard output/.test(closed.stderr), "a closed standard output", closed.stderr);

    const blocked = descant(["build", "--out", "file", "x.descant"], { cwd });
    group.check(blocked.status === 2 && /descant: file: Not a directory/.test(blocked.stderr), "a file in place of the folder", blocked.stderr);
    const under = descant(["build", "--out", "file/sub", "x.descant"], { cwd });
    group.check(under.status === 2 && /descant: file\/sub: Not a directory/.test(under.stderr), "a file in place of a folder above", under.stderr);
    const device = descant(["build", "--out", "/dev/full", "x.descant"], { cwd });
    group.check(device.status === 2 && /descant: \/dev\/full: /.test(device.stderr), "a device in place of the folder", device.stderr);
    group.same(readFileSync(join(cwd, "file"), "utf8"), "in the way", "what is in the way stays");

    // A folder stands where an output belongs.
    mkdirSync(join(cwd, "out/x.md"), { recursive: true });
    const taken = descant(["build", "--to", "md", "x.descant"], { cwd });
    group.check(taken.status === 2 && /descant: out\/x\.md: Is a directory/.test(taken.stderr), "a folder in place of an output", taken.stderr);
    group.check(left(cwd).length === 0, "no temporary file is left", left(cwd).join(" "));

    // A disk that fills: a limit on file size stands in for it, as every user has it.
    const small = folder({ "x.descant": fine });
    descant(["build", "--to", "md", "x.descant"], { cwd: small });
    const before = readFileSync(join(small, "out/x.md"), "utf8");
    writeFileSync(join(small, "x.descant"), fine.replace("The line", "The line, ".repeat(2000)));
    const limited = spawnSync("sh", ["-c", `trap "" XFSZ; ulimit -f 4; exec "$0" build --to md x.descant`, program], { cwd: small });
    group.check(limited.status === 2 && /descant: out\/x\.md: File too large/.test(limited.stderr), "a full disk", `${limited.status} ${limited.stderr}`);
    group.same(readFileSync(join(small, "out/x.md"), "utf8"), before, "the old output is whole");
    group.check(left(small).length === 0, "no temporary file is left on a full disk", left(small).join(" "));

    const deps = descant(["build", "--deps", "/dev/full", "x.descant"], { cwd: folder({ "x.descant": fine }) });
    group.check(deps.status === 2 && /descant: \/dev\/full: No space left/.test(deps.stderr), "a dependency file on a full disk", deps.stderr);

    // A failure with one file does not keep the others from being checked.
    const two = descant(["check", "--format", "json", "missing.descant", "x.descant"], { cwd });
    group.check(two.status === 2 && /"holds":1/.test(two.stdout), "other files are still checked", two.stdout);
}
