// Row N1: the list of chapters keeps the rules of a large video host (the first at 0:00, at least three, rising, each at least ten
// seconds, one line each with its time first), or the check says which rule fails; times are rounded down to whole seconds.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { check, descant, folder } from "../harness/harness.mjs";

// [time, title] of each chapter, and when the last words end.
function episode(chapters, end = "1:30") {
    const says = chapters.map(([time, title]) => `at ${time} chapter "${title}"\nat ${time} say from ${time} to ${time.replace(/(\d\d)(\.\d+)?$/, (m, s, d) => `${String(Number(s) + 1).padStart(2, "0")}${d ?? ""}`)} { Words. }\n`);
    return `episode "Chapters" { language en   date "2024-05-01" }\nwork w { title "A Study" }\n${says.join("")}at ${end.replace(/\d\d$/, (s) => String(Number(s) - 1).padStart(2, "0"))} say from ${end.replace(/\d\d$/, (s) => String(Number(s) - 1).padStart(2, "0"))} to ${end} { End. }\n`;
}

// Lines of the chapter list in the notes: "0:15 Title".
function listed(text) {
    const cwd = folder({ "x.descant": text });
    const r = descant(["build", "--to", "md", "x.descant"], { cwd });
    if (r.status !== 0)
        return { lines: [], notes: r.stderr };
    const notes = readFileSync(join(cwd, "out/x.md"), "utf8");
    const part = /^## Chapters\n([\s\S]*?)(?=^## |$(?![\s\S]))/m.exec(notes)?.[1] ?? "";
    return { lines: part.split("\n").filter((l) => /\d:\d\d/.test(l)).map((l) => l.replace(/^[-*\s]*/, "").replace(/\\?\s*$/, "")), notes };
}

const seconds = (time) => time.split(":").reduce((sum, x) => sum * 60 + Number(x), 0);

const good = [
    [["0:00", "One"], ["0:15", "Two"], ["0:40", "Three"]],
    [["0:00", "One"], ["0:10", "Two"], ["0:20", "Three"]],
    [["0:00", "One"], ["0:15.900", "Two"], ["0:40.040", "Three"]],
    [["0:00", "A title & <marks> *so* [x](y) #1"], ["0:15", "1. Two"], ["0:40", "- Three"]],
];

// Chapters, end, code.
const bad = [
    [[["0:05", "One"], ["0:15", "Two"], ["0:40", "Three"]], "1:30", "chapter-not-at-zero"],
    [[["0:00", "One"], ["0:09", "Two"], ["0:40", "Three"]], "1:30", "chapter-too-short"],
    [[["0:00", "One"], ["0:15", "Two"], ["0:40", "Three"]], "0:49", "chapter-too-short"],
    [[["0:00", "One"], ["0:15", "Two"]], "1:30", "chapters-too-few"],
    [[["0:00", "One"], ["0:40", "Two"], ["0:15", "Three"]], "1:30", "time-backwards"],
    [[["0:00", "One"], ["0:15", "Two"], ["0:15", "Three"]], "1:30", "chapter-too-short"],
];
const rules = ["chapter-not-at-zero", "chapter-too-short", "chapters-too-few", "time-backwards"];

export default function (group) {
    for (const chapters of good) {
        const words = chapters.map((c) => c.join(" ")).join(", "), text = episode(chapters);
        const r = check("x.descant", { cwd: folder({ "x.descant": text }) });
        group.check(!r.diagnostics.some((d) => rules.includes(d.code)), `${words}: no rule fails`, JSON.stringify(r.diagnostics));
        const { lines, notes } = listed(text);
        if (!group.check(lines.length === chapters.length, `${words}: one line each`, notes))
            continue;
        const times = lines.map((l) => /^\d+(:\d\d)+/.exec(l)?.[0]);
        group.check(times.every(Boolean), `${words}: the time is first on its line`, lines.join("\n"));
        group.same(times.map(seconds).join(" "), chapters.map((c) => Math.floor(seconds(c[0]))).join(" "), `${words}: whole seconds, rounded down`);
        const numbers = times.map(seconds);
        group.check(numbers[0] === 0 && numbers.length >= 3 && numbers.every((n, i) => !i || n - numbers[i - 1] >= 10), `${words}: the rules are kept`, lines.join("\n"));
    }
    for (const [chapters, end, code] of bad) {
        const words = chapters.map((c) => c.join(" ")).join(", ");
        const r = check("x.descant", { cwd: folder({ "x.descant": episode(chapters, end) }) });
        const found = r.diagnostics.filter((d) => rules.includes(d.code)).map((d) => d.code);
        group.check(found.includes(code), `${words}, to ${end}: ${code}`, JSON.stringify(r.diagnostics));
    }
    // Rounding down may not make a chapter short: 0:00.9 to 0:10.1 is shown as 0:00 to 0:10.
    const edge = check("x.descant", { cwd: folder({ "x.descant": episode([["0:00", "One"], ["0:10.900", "Two"], ["0:20.100", "Three"]]) }) });
    group.check(edge.diagnostics.some((d) => d.code === "chapter-too-short"), "9.2 seconds are too short, whatever the clock shows", JSON.stringify(edge.diagnostics));
}
