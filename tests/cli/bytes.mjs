// Any bytes end in diagnostics or outputs within a second a megabyte (rows L2, L3): no crash, no hang, no sanitizer report.
import { descant, check, crashed, folder, Group, program } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

const head = 'episode "test" { }\nwork w { title "A Study" }\n';
const passage = (rows) => `${head}passage p of w {\n    meter 4/4\n    part a for oboe {\n        ${rows}\n    }\n}\n`;

const bars = (n) => passage(Array.from({ length: n }, (_, i) => `bar ${i + 1}: 1/1 C5`).join("\n        "));

// A time of the day for each number.
const clock = (n) => `${Math.floor(n / 3600)}:${String(Math.floor(n / 60) % 60).padStart(2, "0")}:${String(n % 60).padStart(2, "0")}`;
const many = (n, line) => Array.from({ length: n }, (_, i) => line(i)).join("");
const discs = "recording a { of w   kind audio   length 9:00:00 }\n";

// A small generator, so that the same bytes come every time.
function random_bytes(n, seed) {
    const out = Buffer.alloc(n);
    let x = seed;
    for (let i = 0; i < n; i++) {
        x = (Math.imul(x, 1664525) + 1013904223) >>> 0;
        out[i] = x >>> 24;
    }
    return out;
}

// name, bytes, status: 1 for a mistake, 0 for none.
const rows = [
    ["empty", "", 1],
    ["only spaces", "  \n\t\n", 1],
    ["only a comment", "// nothing", 1],
    ["only a byte-order mark", "\uFEFF", 1],
    ["binary", random_bytes(100000, 1), 1],
    ["binary with line ends", Buffer.from(random_bytes(100000, 2).map((b) => (b % 16 === 0 ? 10 : b))), 1],
    ["NUL in a string", head + 'claim a: "x\0y"\n', 1],
    ["control characters", head + "claim a: \x01\x02\x1b[2J\n", 1],
    ["bad UTF-8", Buffer.concat([Buffer.from(head), Buffer.from([0x63, 0xff, 0xc0, 0x80, 0xed, 0xa0, 0x80, 0x0a])]), 1],
    ["UTF-16", Buffer.from("\uFEFF" + fine, "utf16le"), 1],
    ["cut in a character", Buffer.concat([Buffer.from(head), Buffer.from([0xe2, 0x99])]), 1],
    ["unclosed block", head + "passage p of w {\n    meter 4/4\n", 1],
    ["unclosed string", head + 'claim a: "x\n', 1],
    ["unclosed narration", head + "at 0:00 say {\nNo end\n", 1],
    ["brace alone", "}", 1],
    ["5 MB line of narration", head + "at 0:00 say {\n" + "lantern ".repeat(655360) + "\n}\n", null],
    ["5 MB line of names", head + "x ".repeat(2500000) + "\n", 1],
    ["5 MB line of notes", passage("bar 1: 1/4 " + "C5 ".repeat(1700000)), 1],
    ["1 MB line of misspelled words", head + 'spell "lantern" never "lanturn"\nat 0:00 say { ' + "lanturn ".repeat(125000) + "}\n", 1],
    ["1 MB line of links to nothing", head + "at 0:00 say { " + "[a](claim:none) ".repeat(62500) + "}\n", 1],
    ["1 MB line without a space", head + "a".repeat(1000000) + "\n", 1],
    ["10,000 nested parentheses", passage("bar 1: 1/1 " + "(".repeat(10000) + "C5" + ")".repeat(10000)), 1],
    ["10,000 nested braces", head + "passage p of w " + "{ ".repeat(10000) + "}".repeat(10000) + "\n", 1],
    ["a million opening braces", head + "passage p of w " + "{".repeat(1000000), 1],
    ["a million closing braces", head + "}".repeat(1000000), 1],
    ["a million braces in turn", head + "passage p of w " + "{}".repeat(500000), 1],
    ["100,000 parentheses in a claim", head + "claim a: " + "(".repeat(100000) + "\n", 1],
    ["100,000 layers", head + "passage p of w {\n    meter 4/4\n    harmony {\n        bar 1: 1/1 C" + " over D".repeat(100000) + "\n    }\n}\n", 1],
    ["10,000 nested emphasis marks", head + "at 0:00 say {\n" + "*a ".repeat(10000) + "\n}\n", null],
    ["10,000 nested brackets", head + "at 0:00 say {\n" + "[".repeat(10000) + "x" + "](claim:a)".repeat(10000) + "\n}\n", null],
    ["10,000 nested quotes", head + "at 0:00 say {\n" + ">".repeat(10000) + " x\n}\n", null],
    ["20,000 bars, the limit", bars(20000), 0],
    ["20,001 bars", bars(20001), 1],
    ["bars far past the limit", bars(100000), 1],
    ["20,000 claims", head + Array.from({ length: 20000 }, (_, i) => `claim c${i}: C4 to E4 is a major third\n`).join(""), 0],
    ["20,000 anchors", `${head}${discs}recording b {\n    of w   kind audio   length 9:00:00\n${many(20000, (i) => `    anchor ${clock(i)} is ${clock(i)} of a\n`)}}\n`, 0],
    ["a passage heard 20,000 times", `${head}${discs}passage p of w {\n${many(20000, (i) => `    heard in a ${clock(i)} to ${clock(i)}.500\n`)}}\n`, 0],
    ["5,000 figures of 5,000 bars each", `${passage(many(5000, (i) => `bar ${i + 1}: 1/1 C5\n        `)).replace(/}\n$/, "")}${many(5000, (i) => `    figure f${i} is a bar 1 to bar 5000\n`)}}\n`, 0],
    ["a demo of 50,000 passages", `${passage("bar 1: 1/1 C5")}at 0:00 demo ${Array(50000).fill("p").join(", ")}\n`, 0],
    ["4,000 passages in keys that the speed of recordings explains", `${head}recording a { of w   kind audio }\nrecording b { of w   kind audio   speed 25/24 }\n${many(4000, (i) => `passage p${i} of w { heard in ${"ab"[i % 2]} 0:00 to 0:02\n    key ${["C", "Db"][i % 2]} major }\n`)}`, 0],
    ["20,000 equal names", head + 'work a { title "x" }\n'.repeat(20000), 1],
    ["numbers past every limit", passage("bar 99999999999999999999: 1/99999999999999999999 C99999999999999999999"), 1],
    ["division by zero", passage("bar 1: 1/0 C5"), 1],
    ["meter 0/0", head + "passage p of w {\n    meter 0/0\n    tempo 1/4 = 0\n}\n", 1],
    ["huge meter", head + "passage p of w {\n    meter 9223372036854775807/1\n}\n", 1],
    ["use of itself", 'episode "test" { use "self.descant" }\n', 1, "self.descant"],
    ["use of a folder", 'episode "test" { use "." }\n', 1],
    ["use of an absolute path", 'episode "test" { use "/etc/hostname" }\n', 1],
    ["use of a path outside", 'episode "test" { use "../../outside.descant" }\n', 1],
    ["use of a missing file", 'episode "test" { use "none.descant" }\n', 1],
    ["over 16 MiB", Buffer.alloc(16 * 1024 * 1024 + 1, "// x\n"), 1],
];

// A sanitizer costs a factor; the plain program is held to the second a megabyte.
const slow = /asan/.test(program) ? 15 : 1;

function run_row(group, [name, bytes, status, file = "x.descant"]) {
    const cwd = folder({ [file]: bytes });
    const megabytes = Math.max(1, Buffer.byteLength(bytes) / 1e6);
    let seconds = Infinity, r;
    for (let tries = 0; tries < 3 && seconds > megabytes * slow; tries++) { // the machine may be busy with something else
        const start = process.hrtime.bigint();
        r = descant(["check", file], { cwd });
        seconds = Math.min(seconds, Number(process.hrtime.bigint() - start) / 1e9);
    }
    if (!group.check(!crashed(r), `${name}: crashes`, `${r.signal ?? r.status}\n${r.stderr.slice(-2000)}`))
        return;
    group.check(seconds <= megabytes * slow, `${name}: takes ${seconds.toFixed(2)} s for ${megabytes.toFixed(1)} MB`);
    if (status !== null)
        group.check(r.status === status, `${name}: status ${r.status}, should be ${status}`, r.stderr);
    if (status === 1)
        group.check(r.stderr.includes(`${file}:`), `${name}: says where`, r.stderr);
    group.check(Buffer.byteLength(r.stderr) < 200000, `${name}: ${r.stderr.length} characters of messages`);
    group.check(!/[\x00-\x08\x0b-\x1f\x7f]/.test(r.stderr), `${name}: control characters reach the terminal`);
    const start = process.hrtime.bigint();
    const j = check(file, { cwd });
    const json_seconds = Number(process.hrtime.bigint() - start) / 1e9, written = j.stdout.length / 1e7;
    group.check(!crashed(j) && j.summary !== undefined, `${name}: JSON is whole`, j.stderr);
    // Each mistake is told, at any length; reading it back here takes its time too.
    group.check(json_seconds <= (megabytes + written) * slow * 3, `${name}: JSON takes ${json_seconds.toFixed(2)} s for ${j.stdout.length} characters`);
}

// Captions of many short words in the widest profile there is.
function run_captions(group) {
    const profile = 'caption-profile wide { name "wide"   line 200   lines 3   rate 17 to 20   speech 150   shortest 1 s   longest 7 s   gap 0 frames   close 1 s   accidentals words }\nconventions { caption-profile wide }\n';
    const cwd = folder({ "x.descant": `${head}${profile}at 0:00 say { ${"a ".repeat(3000)}}\n` });
    const r = descant(["build", "--to", "vtt,srt", "x.descant"], { cwd });
    group.check(!crashed(r) && r.status === 0, "captions of 3,000 words of one letter", r.stderr);
}

// A file cut off at any byte, or with one byte changed.
function run_cuts(group) {
    const bytes = Buffer.from(fine);
    const names = [], files = {};
    for (let i = 0; i < bytes.length; i += 7) {
        const damaged = Buffer.from(bytes);
        damaged[i] = random_bytes(1, i)[0];
        files[`cut-${i}.descant`] = bytes.subarray(0, i);
        files[`hit-${i}.descant`] = damaged;
        names.push(`cut-${i}.descant`, `hit-${i}.descant`);
    }
    const cwd = folder(files);
    const r = descant(["check", ...names], { cwd });
    if (!crashed(r)) {
        group.check(true, "damaged files");
        return;
    }
    for (const name of names)
        group.check(!crashed(descant(["check", name], { cwd })), `${name}: crashes`, files[name]);
}

export default function (group) {
    for (const row of rows)
        run_row(group, row);
    run_captions(group);
    run_cuts(group);
    const place = descant(["check", "-"], { input: Buffer.concat([Buffer.from('episode "a" { }\n// \u266d '), Buffer.from([0xff])]) });
    group.check(/^<stdin>:2:6: error/m.test(place.stderr), "invalid UTF-8 is reported with line and column", place.stderr);
}
