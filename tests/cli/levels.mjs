// -W sets what a code costs (row D1): a note can be hidden, made a warning or an error; an error stays one.
import { codes, descant, folder, lines } from "../harness/harness.mjs";
import { fine, open } from "../harness/samples.mjs";

export default function (group) {
    // A claim that no words refer to is a note.
    const lonely = fine.replace("claim rise", "claim alone: C5 to D5 is a major second\nclaim rise");
    const cwd = folder({ "lonely.descant": lonely, "open.descant": open });
    const run = (...args) => {
        const r = descant(["check", "--format", "json", ...args], { cwd });
        return { status: r.status, diagnostics: r.status === 2 ? [] : lines(r.stdout).filter((o) => o.kind === "diagnostic"), stderr: r.stderr };
    };
    const note = run("lonely.descant").diagnostics.find((d) => d.severity === "note");
    if (!group.check(note !== undefined, "a claim without words is a note"))
        return;
    group.check(run("lonely.descant").status === 0, "a note costs nothing");
    group.check(!run("-W", `no-${note.code}`, "lonely.descant").diagnostics.some((d) => d.code === note.code), "-W no-CODE hides it");
    group.check(run("-W", note.code, "lonely.descant").diagnostics.some((d) => d.code === note.code && d.severity === "warning"), "-W CODE makes it a warning");
    const error = run(`-Werror=${note.code}`, "lonely.descant");
    group.check(error.status === 1 && error.diagnostics.some((d) => d.code === note.code && d.severity === "error"), "-W error=CODE makes it an error");
    group.check(run("-W", "error=claim-undecided", "open.descant").status === 1, "undecided claims can be made errors");
    const fixed = run("-W", "no-claim-fails", "open.descant");
    group.check(fixed.status === 2 && /stays one/.test(fixed.stderr), "an error cannot be hidden", fixed.stderr);
    const near = run("-W", "no-claim-undecidd", "open.descant");
    group.check(near.status === 2 && /similar: `claim-undecided`/.test(near.stderr), "a near code is offered", near.stderr);
    for (const { name } of codes())
        group.check(/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/.test(name), `${name} is a name`);
    group.same(new Set(codes().map((c) => c.name)).size, codes().length, "each code has its own name");
}
