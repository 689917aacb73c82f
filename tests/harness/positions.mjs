// Messages about narration stand where the author looks: tests/diag/narration-positions/NAME.descant, with escapes, entities,
// lists, quotations, code, links of every form, tabs, three sorts of line ends, and accents in one character and in two. NAME.expect
// holds a line a diagnostic: code line:column and the text it covers. What a message quotes must be what it covers, whatever the
// file says. (Rows D3, L3.)
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { check, crashed, Group, root } from "./harness.mjs";

const top = join(root, "tests/diag/narration-positions");

// The text from line:column up to endLine:endColumn, columns in code points from 1; white space folded.
function covered(lines, d) {
    const end = d.endLine ?? d.line;
    const rows = lines.slice(d.line - 1, end).map((line) => [...line]);
    rows[rows.length - 1] = rows.at(-1).slice(0, d.endColumn - 1);
    rows[0] = rows[0].slice(d.column - 1);
    return rows.map((row) => row.join("")).join(" ");
}

// What the message quotes first, and a year.
function quoted(d) {
    return /`([^`]*)`/.exec(d.message)?.[1] ?? /the year (\d{4})/.exec(d.message)?.[1];
}

const plain = (text) => text.normalize("NFC").replace(/[\s>]+/g, " ").trim();

// A link that is written elsewhere, `[words][label]`, is reported at its words; one with a wrong scheme is shown whole.
const stands_for = (d, text) => plain(text) === plain(quoted(d)) || (d.code === "unknown-name" && /^(words|label)$/.test(text)) ||
    (d.code === "link-unknown" && text.startsWith(quoted(d)));

export function run(bless) {
    const group = new Group("positions");
    const files = readdirSync(top).filter((f) => f.endsWith(".descant")).sort();
    group.check(files.length >= 9, `${files.length} files in ${top}`);
    for (const file of files) {
        const r = check(file, { cwd: top });
        if (!group.check(!crashed(r), `${file}: crashes`, r.stderr))
            continue;
        const lines = readFileSync(join(top, file), "utf8").split(/\r\n|\n|\r/);
        const found = r.diagnostics.filter((d) => d.code !== "time-gap");
        for (const d of found) {
            const text = covered(lines, d);
            group.check(stands_for(d, text), `${file}:${d.line}:${d.column}: ${d.message}`, `covers: ${text}`);
        }
        const got = found.map((d) => `${d.code} ${d.line}:${d.column} ${covered(lines, d)}\n`).join("");
        const golden = join(top, `${basename(file, ".descant")}.expect`);
        if (bless)
            writeFileSync(golden, got);
        group.same(got, readFileSync(golden, "utf8"), `${file}: places`);
    }
    return group.end();
}
