// Exit status and what is written (row D4): 0 nothing wrong, 1 a claim fails or the file has errors, 2 usage or I/O, 3 undecided
// under --strict. A file with errors writes nothing.
import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { descant, folder, lines } from "../harness/harness.mjs";
import { broken, fails, fine, open } from "../harness/samples.mjs";

export default function (group) {
    const cwd = folder({ "fine.descant": fine, "fails.descant": fails, "open.descant": open, "broken.descant": broken });
    const rows = [
        [0, ["check", "fine.descant"]],
        [1, ["check", "fails.descant"]],
        [0, ["check", "open.descant"]],
        [3, ["check", "--strict", "open.descant"]],
        [1, ["check", "broken.descant"]],
        [1, ["check", "--strict", "open.descant", "fails.descant"]],
        [2, ["check", "--strict", "open.descant", "missing.descant", "fails.descant"]],
        [1, ["check", "fine.descant", "fails.descant"]],
        [2, ["check"]],
        [2, []],
        [2, ["chekc", "fine.descant"]],
        [2, ["check", "--stritc", "fine.descant"]],
        [2, ["check", "--format", "xml", "fine.descant"]],
        [2, ["check", "--out", "x", "fine.descant"]],
        [2, ["check", "--width", "x", "fine.descant"]],
        [2, ["check", "--width"]],
        [2, ["check", "-W", "no-such-code", "fine.descant"]],
        [2, ["build", "--to", "mdx", "fine.descant"]],
        [2, ["check", "missing.descant"]],
        [2, ["check", "."]],
        [2, ["explain", "no-such-thing-at-all"]],
        [0, ["--help"]],
        [0, ["check", "--help"]],
        [0, ["--version"]],
        [0, ["explain"]],
    ];
    for (const [status, args] of rows) {
        const r = descant(args, { cwd });
        group.check(r.status === status, `descant ${args.join(" ")}: status ${r.status}, should be ${status}`, r.stderr);
        if (status === 2)
            group.check(/^descant: ./m.test(r.stderr), `descant ${args.join(" ")}: says what is wrong`, r.stderr);
    }
    group.check(/similar: `check`/.test(descant(["chekc", "x"], { cwd }).stderr), "a misspelled command is met with a similar one");
    group.check(/missing\.descant: No such file/.test(descant(["check", "missing.descant"], { cwd }).stderr), "a missing file is named");

    group.same(descant(["check", "fine.descant"], { cwd }).stderr, "", "a clean check is silent");
    group.same(descant(["check", "-"], { cwd, input: fine }).status, 0, "`-` is standard input");
    group.check(/^<stdin>:\d+:\d+: error/.test(descant(["check", "-"], { cwd, input: fails }).stderr), "standard input is named in messages");

    for (const name of ["fails", "broken"]) {
        const r = descant(["build", "--out", `out-${name}`, `${name}.descant`], { cwd });
        group.check(r.status === 1 && !existsSync(join(cwd, `out-${name}`)), `build of ${name}.descant writes nothing`, r.stdout + r.stderr);
    }
    const some = descant(["build", "--out", "a/b/c", "--to", "md,vtt", "--to=srt", "fine.descant"], { cwd });
    group.check(some.status === 0, "build makes the folder", some.stderr);
    const names = existsSync(join(cwd, "a/b/c")) ? readdirSync(join(cwd, "a/b/c")).sort().join(" ") : "";
    group.same(names, "fine.chapters.vtt fine.md fine.srt fine.vtt", "--to writes what it names");
    group.check(/claims: 1 holds/.test(some.stdout) && /a\/b\/c\/fine\.md/.test(some.stdout), "build sums up claims and files", some.stdout);
    group.same(descant(["build", "--quiet", "--out", "q", "fine.descant"], { cwd }).stdout, "", "--quiet leaves the summary out");
    group.check(descant(["build", "--out", "q", "open.descant"], { cwd }).status === 0, "an undecided claim does not keep a build from writing");

    const all = lines(descant(["build", "--format", "json", "--out", "j", "fine.descant", "open.descant"], { cwd }).stdout);
    group.check(all[0].version === 1 && all.at(-1).kind === "summary", "JSON begins with a version and ends with a summary");
    group.check(all.filter((o) => o.version).length === 1 && all.filter((o) => o.kind === "summary").length === 1, "one version and one summary a run");
    group.check(all.at(-1).holds === 1 && all.at(-1).undecided === 1 && all.at(-1).fails === 0, "the summary counts over all files", JSON.stringify(all.at(-1)));
    const outputs = all.filter((o) => o.kind === "output").map((o) => o.file);
    group.check(outputs.length > 0 && outputs.every((f) => existsSync(join(cwd, f))), "each output named was written");
    const claims = all.filter((o) => o.kind === "claim");
    group.check(claims.every((c) => c.name && c.file && c.line > 0 && typeof c.evidence === "string" && "basis" in c), "claims have the stable keys", JSON.stringify(claims[0]));

    const clash = folder({ "a/ep.descant": fine, "b/ep.descant": fine });
    const two = descant(["build", "a/ep.descant", "b/ep.descant"], { cwd: clash });
    group.check(two.status === 2 && /out\/ep\.md: two files/.test(two.stderr), "two episodes are not written over each other", two.stderr);
}
