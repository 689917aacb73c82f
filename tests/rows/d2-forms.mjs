// Row D2: text, JSON and SARIF say the same of every example of the pages and every file of tests/diag: places, codes, messages; the
// text is checked without writing the evidence of what holds, and must come to the same verdicts. No form crashes.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { crashed, descant, examples, folder, lines, root, show, whole } from "../harness/harness.mjs";

function sources() {
    const list = (dir, end) => readdirSync(join(root, dir), { recursive: true }).map(String).filter((f) => f.endsWith(end)).sort().map((f) => join(root, dir, f));
    const pages = [...list("compiler/claims", ".md"), ...list("compiler/diag/explain", ".md")].flatMap((p) => examples(p).map((e) => whole(e.text)));
    return [...pages, ...list("tests/diag", ".descant").map((p) => readFileSync(p))];
}

// "x.descant:3:5: error[code]: message", as text prints it, and SARIF's results in that form.
const heads = (text) => text.split("\n").filter((l) => /^case-\d+\.descant:\d+:\d+: \w+\[/.test(l));

function results(sarif) {
    return JSON.parse(sarif).runs[0].results.map((r) => {
        const { artifactLocation, region } = r.locations[0].physicalLocation;
        const level = r.kind === "open" ? "undecided" : r.level;
        return `${artifactLocation.uri}:${region.startLine}:${region.startColumn}: ${level}[${r.ruleId}]: ${r.message.text.split("\n")[0].replace(/^undecided: /, "")}`; // notes and help follow
    });
}

export default function (group) {
    const all = sources();
    group.check(all.length > 300, `${all.length} texts`);
    const names = all.map((_, i) => `case-${i}.descant`);
    const cwd = folder(Object.fromEntries(all.map((text, i) => [names[i], text])));
    const run = (...args) => descant(["check", "--max-errors", "0", "--width", "0", ...args, ...names], { cwd });
    const text = run(), json = run("--format", "json"), sarif = run("--format", "sarif");
    for (const [words, r] of [["text", text], ["JSON", json], ["SARIF", sarif]])
        group.check(!crashed(r) && r.status === 1, `${words} ends well`, `${r.status} ${r.signal} ${r.stderr.slice(-500)}`);
    if (crashed(text)) // which one?
        for (const name of names)
            group.check(!crashed(descant(["check", name], { cwd })), `${name} crashes as text`, readFileSync(join(cwd, name), "utf8"));
    if ([text, json, sarif].some(crashed))
        return;
    const told = lines(json.stdout).filter((o) => o.kind === "diagnostic").map(show);
    group.check(told.length > 1000, `${told.length} diagnostics`);
    const compare = (got, words) => {
        const differs = told.findIndex((d, i) => d !== got[i]);
        group.check(differs < 0 && got.length === told.length, `${words} says what JSON says`, `${words}: ${got[differs]}\nJSON: ${told[differs]}`);
    };
    compare(heads(text.stderr), "text");
    compare(results(sarif.stdout), "SARIF");
    group.same([text, json, sarif].map((r) => r.status).join(" "), "1 1 1", "the same status");
    const counts = /claims: (.*)/.exec(text.stderr.split("\n").at(-2))?.[1], summary = lines(json.stdout).at(-1);
    group.same(counts, `${summary.holds} hold, ${summary.fails} fail, ${summary.undecided} undecided`, "the same count of verdicts");
}
