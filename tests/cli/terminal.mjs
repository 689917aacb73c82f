// Colour, width and limits of text messages (row D5, D3): no escape byte in a pipe, with NO_COLOR or on a dumb terminal.
import { spawnSync } from "node:child_process";
import { descant, folder, program } from "../harness/harness.mjs";
import { fails, fine } from "../harness/samples.mjs";

// util-linux' script gives the command a terminal.
function on_terminal(cwd, env) {
    const r = spawnSync("script", ["-qec", `${program} check fails.descant`, "/dev/null"], { cwd, encoding: "utf8", env: { PATH: process.env.PATH, TERM: "xterm", ...env } });
    return r.error ? null : r.stdout;
}

export default function (group) {
    const cwd = folder({ "fails.descant": fails, "many.descant": fine + Array.from({ length: 80 }, (_, i) => `claim c${i}: C4 to E4 is a minor third\n`).join("") });
    const run = (args, env = {}) => descant(["check", ...args, "fails.descant"], { cwd, env }).stderr;

    group.check(!run([]).includes("\x1b"), "no escape byte in a pipe");
    group.check(run(["--color=always"]).includes("\x1b[1;31merror["), "--color=always colours");
    group.check(run(["--color=always"], { NO_COLOR: "1" }).includes("\x1b["), "--color=always wins over NO_COLOR");
    group.check(!run(["--color=never"]).includes("\x1b"), "--color=never");
    group.check(run(["--color=tags"]).includes("<error>error["), "--color=tags");
    group.same(run(["--color=always"]).replace(/\x1b\[[0-9;]*m/g, ""), run([]), "colour changes nothing else");
    group.same(run(["--color=tags"]).replace(/<\/?(error|warning|undecided|note|place|help)>/g, ""), run([]), "tags change nothing else");

    const terminal = on_terminal(cwd, {});
    if (group.check(terminal !== null, "a terminal can be had (script, of util-linux)")) {
        group.check(terminal.includes("\x1b["), "a terminal has colour", terminal);
        group.check(!on_terminal(cwd, { NO_COLOR: "1" }).includes("\x1b["), "NO_COLOR turns it off");
        group.check(on_terminal(cwd, { NO_COLOR: "" }).includes("\x1b["), "an empty NO_COLOR does not");
        group.check(!on_terminal(cwd, { TERM: "dumb" }).includes("\x1b["), "a dumb terminal has none");
    }

    for (const width of [40, 60, 100]) {
        const long = run(["--width", String(width)]).split("\n").filter((l) => /^ /.test(l) && [...l].length > width && / .* /.test(l.slice(8)));
        group.check(long.length === 0, `--width ${width} is kept`, long.join("\n"));
    }

    const count = (args) => (descant(["check", ...args, "many.descant"], { cwd }).stderr.match(/: error\[/g) ?? []).length;
    group.same(count([]), 50, "at most 50 errors are shown");
    group.same(count(["--max-errors", "3"]), 3, "--max-errors 3");
    group.same(count(["--max-errors=0"]), 80, "--max-errors 0 shows all");
    group.check(/30 more errors/.test(descant(["check", "many.descant"], { cwd }).stderr), "the rest is counted");
    const json = descant(["check", "--format", "json", "many.descant"], { cwd }).stdout;
    group.same((json.match(/"severity":"error"/g) ?? []).length, 80, "JSON has them all");
}
