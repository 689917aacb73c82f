// What every group of tests shares: running the command, counting, temporary folders, fenced examples.
import { spawnSync } from "node:child_process";
import { mkdtempSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

export const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
export const program = resolve(root, process.env.DESCANT ?? "build/descant");

// A check that fails prints its words and, indented, what was found.
export class Group {
    constructor(name) {
        this.name = name;
        this.passed = 0;
        this.failed = 0;
    }

    check(ok, words, found = "") {
        if (ok) {
            this.passed++;
            return true;
        }
        this.failed++;
        console.error(`${this.name}: ${words}`);
        if (found)
            console.error(String(found).trimEnd().slice(0, 3000).replace(/^/gm, "    "));
        return false;
    }

    same(got, want, words) {
        return this.check(got === want, words, `got:  ${brief(got, want)}\nwant: ${brief(want, got)}`);
    }

    end() {
        console.log(`${this.name}: ${this.passed} passed, ${this.failed} failed`);
        return this.failed;
    }
}

// The part of a long text where it begins to differ from another.
function brief(text, other) {
    const a = String(text), b = String(other);
    if (a.length < 400)
        return a;
    let at = 0;
    while (at < a.length && a[at] === b[at])
        at++;
    return `…(from character ${at}) ` + a.slice(Math.max(0, at - 80), at + 300);
}

// Runs the command. Nothing of the caller's terminal settings reaches it. Ends after a minute at the latest: that is a hang.
export function descant(args, { input = "", cwd = root, env = {}, stdio, limit = 60000 } = {}) {
    const r = spawnSync(program, args, {
        cwd,
        input: stdio ? undefined : input,
        stdio,
        env: { PATH: process.env.PATH, LSAN_OPTIONS: process.env.LSAN_OPTIONS ?? "", ...env },
        maxBuffer: 1 << 28,
        timeout: limit,
    });
    const text = (b) => (b ? b.toString("utf8") : "");
    return { status: r.status, signal: r.signal, stdout: text(r.stdout), stderr: text(r.stderr), bytes: r.stdout };
}

// Sanitizer reports, failed asserts, crashes and hangs: never an answer to any input.
export function crashed(r) {
    return r.signal !== null || ![0, 1, 2, 3].includes(r.status) || /Sanitizer|runtime error:/.test(r.stderr);
}

// JSON Lines as objects; a line that is no JSON is an error of the caller's test.
export function lines(text) {
    return text.split("\n").filter(Boolean).map((line) => JSON.parse(line));
}

export function check(file, options = {}) {
    const r = descant(["check", "--format", "json", file], options);
    const objects = crashed(r) ? [] : lines(r.stdout);
    return {
        ...r,
        diagnostics: objects.filter((o) => o.kind === "diagnostic"),
        claims: objects.filter((o) => o.kind === "claim"),
        summary: objects.find((o) => o.kind === "summary"),
    };
}

export const show = (d) => `${d.file}:${d.line}:${d.column}: ${d.severity}[${d.code}]: ${d.message}`;

const folders = [];

export function folder(files = {}) {
    const path = mkdtempSync(join(tmpdir(), "descant-"));
    folders.push(path);
    for (const [name, content] of Object.entries(files)) {
        mkdirSync(dirname(join(path, name)), { recursive: true });
        writeFileSync(join(path, name), content);
    }
    return path;
}

process.on("exit", () => folders.forEach((path) => rmSync(path, { recursive: true, force: true })));

// Fenced blocks of a CommonMark file whose info string begins with `descant`: the words after it, the text, its line.
export function examples(path) {
    const found = [];
    const text = readFileSync(path, "utf8").split("\n");
    for (let i = 0; i < text.length; i++) {
        const open = /^(```+)\s*descant\b(.*)$/.exec(text[i]);
        if (!open)
            continue;
        const start = i + 1;
        while (i + 1 < text.length && !text[i + 1].startsWith(open[1]))
            i++;
        found.push({ words: open[2].trim().split(/\s+/).filter(Boolean), line: start + 1, path,
                     text: text.slice(start, i + 1).join("\n") + "\n" });
    }
    return found;
}

// A short example stands for a whole file: an episode about one work called w.
export function whole(text) {
    if (/^\s*(\/\/.*\n\s*)*(episode|library)\b/.test(text))
        return text;
    return `episode "test" { }\nwork w { title "A Study" }\n${text}`;
}

// Every row of codes.def: name and level. A claim kind's row carries its id.
export function codes() {
    const read = (path) => readFileSync(join(root, "compiler", path), "utf8");
    const kinds = [...read("claims/kinds.def").matchAll(/^KIND\((\w+), "([^"]+)"/gm)].map((m) => ({ name: m[2], level: "error", kind: m[1] }));
    const rows = [...read("diag/codes.def").matchAll(/^DIAG\(\w+, "([^"]+)", LEVEL_(\w+)/gm)].map((m) => ({ name: m[1], level: m[2].toLowerCase() }));
    return [...kinds, ...rows];
}

// Compiles many small texts in one run: objects by case. Falls back to one run a case if the command crashes. `files` lie
// beside them, by their names.
export function check_all(cases, files = {}) {
    const dir = folder({ ...files, ...Object.fromEntries(cases.map((c, i) => [`case-${i}.descant`, c.source])) });
    const names = cases.map((_, i) => `case-${i}.descant`);
    const r = names.length ? descant(["check", "--format", "json", ...names], { cwd: dir }) : { status: 0, signal: null, stderr: "", stdout: "" };
    if (crashed(r))
        return cases.map((_, i) => check(names[i], { cwd: dir }));
    const objects = lines(r.stdout);
    return names.map((name) => ({
        status: 0,
        signal: null,
        stderr: "",
        diagnostics: objects.filter((o) => o.kind === "diagnostic" && o.file === name),
        claims: objects.filter((o) => o.kind === "claim" && o.file === name),
    }));
}
