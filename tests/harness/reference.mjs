// Every fenced example of grammar/reference.md: ```descant compiles with nothing wrong, ```descant fails CODE gives CODE. (Row B4.)
import { existsSync } from "node:fs";
import { join } from "node:path";
import { check_all, crashed, examples, Group, root, show, whole } from "./harness.mjs";

export function run() {
    const group = new Group("reference");
    const path = join(root, "grammar/reference.md");
    if (!group.check(existsSync(path), "grammar/reference.md is missing"))
        return group.end();
    const cases = examples(path).map((e) => ({ ...e, source: whole(e.text) }));
    group.check(cases.length > 0, "grammar/reference.md has no examples");
    check_all(cases).forEach((r, i) => {
        const { line, words } = cases[i];
        const at = `grammar/reference.md:${line}`;
        const found = r.diagnostics.map(show).join("\n");
        if (!group.check(!crashed(r), `${at}: crashes`, r.stderr))
            return;
        if (words.length === 0)
            group.check(r.diagnostics.every((d) => d.severity !== "error"), `${at}: compiles`, found);
        else if (group.check(words.length === 2 && words[0] === "fails", `${at}: unknown words after descant: ${words.join(" ")}`))
            group.check(r.diagnostics.some((d) => d.code === words[1]), `${at}: gives ${words[1]}`, found);
    });
    return group.end();
}
