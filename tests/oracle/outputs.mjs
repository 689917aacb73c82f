// Reads what the command writes with other people's readers, and compares it with the model's JSON.
//
//   node tests/oracle/outputs.mjs [FOLDER]
//
// Without a folder of outputs it builds the examples and looks at theirs. WebVTT is read by webvtt-parser, MIDI by midi-file,
// CommonMark by cmark; SubRip has no standard and is read by twenty lines below.
import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { descant, folder, Group, root } from "../harness/harness.mjs";

const modules = join(root, "build/oracle/node_modules");
const require = createRequire(join(modules, "none.js"));
const { parseMidi } = require("midi-file");
const { WebVTTParser } = require("webvtt-parser");
const entities = require("webvtt-parser/html-entities.json");

const group = new Group("oracle/outputs");

const outputs = process.argv[2] ?? build_examples();

function build_examples() {
    const out = folder();
    for (const file of readdirSync(join(root, "examples")).filter((f) => f.endsWith(".descant")).sort()) {
        const path = join("examples", file);
        if (/^library\b/m.test(readFileSync(join(root, path), "utf8")))
            continue;
        const r = descant(["build", "--out", join(out, basename(file, ".descant")), path]);
        group.check(r.status !== 2 && r.signal === null, `${path}: status ${r.status}`, r.stderr);
    }
    return out;
}

function files(dir) {
    return readdirSync(dir, { withFileTypes: true }).flatMap((e) => (e.isDirectory() ? files(join(dir, e.name)) : [join(dir, e.name)])).sort();
}

const squeeze = (s) => s.replace(/\s+/g, " ").trim();

// ---- captions ------------------------------------------------------------------------------------

// Accidentals by the default of every profile of the library: words. Enough for the examples, not for every chord symbol.
function spoken(text) {
    return text
        .replace(/(?<![A-Za-z])([A-G])(##|𝄪)/g, "$1 double sharp").replace(/(?<![A-Za-z])([A-G])(bb|𝄫)(?![a-z])/g, "$1 double flat")
        .replace(/(?<![A-Za-z])([A-G])(#|♯)/g, "$1 sharp").replace(/(?<![A-Za-z])([A-G])(b|♭)(?![a-z])/g, "$1 flat")
        .replace(/((?:sharp|flat))m(?![a-z])/g, "$1 minor").replace(/((?:sharp|flat))(-?\d)/g, "$1 $2");
}

function script(model) {
    const pieces = { text: (r) => r.text ?? "", break: () => " ", paragraph: () => " ", picture: () => "" };
    return squeeze(model.timeline.filter((i) => i.kind === "say").map((i) => i.runs.map((r) => pieces[r.kind](r)).join("")).join(" "));
}

// Descriptions of music stand in brackets, which may close in a later cue.
function split_music(texts) {
    const speech = [], music = [];
    let open = false;
    for (const text of texts) {
        open = open || text.startsWith("[♪") || text.startsWith("[silence");
        (open ? music : speech).push(text);
        open = open && !text.endsWith("]");
    }
    return { speech: squeeze(speech.join(" ")), music };
}

function read_vtt(path) {
    const chapters = path.endsWith(".chapters.vtt");
    const text = readFileSync(path, "utf8");
    const { cues, errors } = new WebVTTParser(entities).parse(text, chapters ? "chapters" : "subtitles");
    group.same(JSON.stringify(errors), "[]", `${path}: errors`);
    group.check(!text.includes("\r") && !text.includes("\uFEFF"), `${path}: LF only, no byte-order mark`);
    return cues.map((cue) => ({ start: cue.startTime, end: cue.endTime, text: node_text(cue.tree) }));
}

function node_text(node) {
    return node.type === "text" ? node.value : (node.children ?? []).map(node_text).join("");
}

function read_srt(path) {
    const cues = [];
    for (const block of readFileSync(path, "utf8").split(/\n\n/).filter((b) => b.trim())) {
        const [counter, times, ...text] = block.trimEnd().split("\n");
        const t = /^(\d{2,}):(\d\d):(\d\d),(\d{3}) --> (\d{2,}):(\d\d):(\d\d),(\d{3})$/.exec(times);
        group.check(t && Number(counter) === cues.length + 1 && text.length > 0, `${path}: block ${cues.length + 1}`, block);
        const s = t ? t.slice(1).map(Number) : Array(8).fill(0);
        cues.push({ start: s[0] * 3600 + s[1] * 60 + s[2] + s[3] / 1000, end: s[4] * 3600 + s[5] * 60 + s[6] + s[7] / 1000,
                    text: text.join("\n").replace(/<\/?i>/g, "") });
    }
    return cues;
}

const profiles = { adult: { line: 42, lines: 2 }, broadcast: { line: 37, lines: 2 }, education: { line: 32, lines: 2 } };

function check_captions(stem, model) {
    const vtt = read_vtt(`${stem}.vtt`), srt = read_srt(`${stem}.srt`);
    const { speech } = split_music(vtt.map((c) => c.text));
    group.same(speech, spoken(script(model)), `${stem}.vtt: the cues joined are the script`);
    const plain = (c) => [c.start.toFixed(3), c.end.toFixed(3), c.text];
    // SubRip cannot escape: a space parts what a reader could take for a tag or an arrow.
    const parted = (c) => plain({ ...c, text: c.text.replace(/-->/g, "-- >").replace(/<(?=[A-Za-z\/!])/g, "< ") });
    group.same(JSON.stringify(srt.map(plain)), JSON.stringify(vtt.map(parted)),
               `${stem}: both files hold the same captions`);
    const profile = profiles[model.episode.caption_profile];
    for (const [i, cue] of vtt.entries()) {
        group.check(cue.end > cue.start, `${stem}.vtt: cue ${i + 1} ends after it starts`);
        group.check(i + 1 === vtt.length || cue.end <= vtt[i + 1].start, `${stem}.vtt: cue ${i + 1} ends before the next`);
        if (!profile)
            continue;
        const lines = cue.text.split("\n");
        group.check(lines.length <= profile.lines && lines.every((l) => [...l].length <= profile.line || !l.includes(" ")),
                    `${stem}.vtt: cue ${i + 1} keeps to its profile`, cue.text);
    }
}

function check_chapters(path, model) {
    const cues = read_vtt(path);
    const chapters = model.timeline.filter((i) => i.kind === "chapter");
    group.same(JSON.stringify(cues.map((c) => c.text)), JSON.stringify(chapters.map((c) => squeeze(c.title))), `${path}: titles`);
    for (const [i, cue] of cues.entries())
        group.check(cue.end > cue.start && (i + 1 === cues.length || cue.end <= cues[i + 1].start), `${path}: cue ${i + 1} is disjoint`);
}

// ---- MIDI -------------------------------------------------------------------------------------------

function ratio(text) {
    const [num, den = "1"] = text.split("/");
    return Number(num) / Number(den);
}

// The notes a part should sound in a stretch, in ticks; a key struck while it sounds is let go first.
function expected(notes, onset, end, offset, division) {
    const tick = (wholes) => Math.round(wholes * 4 * division);
    const list = notes
        .map((n) => ({ key: n.midi, on: ratio(n.onset), off: ratio(n.onset) + ratio(n.length) }))
        .filter((n) => n.on < end - 1e-9 && n.off > onset + 1e-9 && n.key >= 0 && n.key < 128)
        .map((n) => ({ key: n.key, on: tick(Math.max(n.on, onset) - onset + offset), off: tick(Math.min(n.off, end) - onset + offset) }))
        .sort((a, b) => a.on - b.on || a.key - b.key || a.off - b.off);
    const out = [];
    for (const n of list) {
        const last = out.findLast((o) => o.key === n.key);
        if (last && last.off > n.on) {
            n.off = Math.max(n.off, last.off);
            if (last.on === n.on) {
                last.off = n.off;
                continue;
            }
            last.off = n.on;
        }
        out.push(n);
    }
    return out;
}

function read_midi(path) {
    const midi = parseMidi(readFileSync(path));
    group.check(midi.header.format === 1 && midi.header.ticksPerBeat > 0, `${path}: format 1`);
    const tracks = midi.tracks.map((events, number) => {
        let tick = 0;
        const open = new Map(), notes = [], metas = [];
        for (const e of events) {
            tick += e.deltaTime;
            if (e.type === "noteOn") {
                group.check(!open.has(e.noteNumber), `${path}: key ${e.noteNumber} sounds once at a time`);
                open.set(e.noteNumber, { key: e.noteNumber, on: tick, off: null });
                notes.push(open.get(e.noteNumber));
            } else if (e.type === "noteOff") {
                group.check(open.has(e.noteNumber), `${path}: a note-off has its note`);
                if (open.has(e.noteNumber))
                    open.get(e.noteNumber).off = tick;
                open.delete(e.noteNumber);
            } else {
                metas.push({ ...e, tick });
            }
        }
        group.check(open.size === 0, `${path}: track ${number} lets every key go`);
        group.check(events.at(-1).type === "endOfTrack", `${path}: track ${number} has its end`);
        group.check(number === 0 || events.every((e) => e.type !== "setTempo" && e.type !== "timeSignature"),
                    `${path}: tempo and meter stand in the first track`);
        return { name: metas.find((e) => e.type === "trackName")?.text, notes, metas, end: tick };
    });
    group.check(tracks[0].notes.length === 0 && tracks[0].metas.some((e) => e.type === "setTempo" && e.tick === 0),
                `${path}: the first track begins with a tempo and holds no notes`);
    return { division: midi.header.ticksPerBeat, tracks };
}

// Seconds of the first track by its own tempos.
function midi_seconds({ division, tracks: [first] }) {
    let seconds = 0, tick = 0, tempo = 500000;
    for (const e of [...first.metas.filter((m) => m.type === "setTempo"), { tick: first.end }]) {
        seconds += ((e.tick - tick) / division) * (tempo / 1e6);
        tick = e.tick;
        tempo = e.microsecondsPerBeat ?? tempo;
    }
    return seconds;
}

const key = (n) => `${n.key}@${n.on}-${n.off}`;

// segments: { parts: [{ name, notes }], onset, end } in order.
function check_notes(path, midi, segments) {
    const want = new Map();
    let offset = 0;
    for (const s of segments) {
        for (const part of s.parts) {
            const notes = expected(part.notes, s.onset, s.end, offset, midi.division);
            want.set(part.name, [...(want.get(part.name) ?? []), ...notes]);
        }
        offset += s.end - s.onset;
    }
    for (const [name, notes] of want) {
        const got = midi.tracks.slice(1).filter((t) => t.name === name).flatMap((t) => t.notes);
        group.same(got.map(key).sort().join(" "), notes.map(key).sort().join(" "), `${path}: the notes of ${name}`);
    }
    const known = midi.tracks.slice(1).every((t) => want.has(t.name));
    group.check(known, `${path}: no track but the model's parts`, midi.tracks.map((t) => t.name).join(", "));
}

// A passage that has no notes but voicings sounds those.
function passage_parts(p) {
    if (p.parts.some((part) => part.notes.length))
        return p.parts.filter((part) => part.notes.length);
    const notes = p.harmony.flatMap((h) => h.layers.flatMap((l) => (l.voicing ?? []).map((pitch) => ({ midi: midi_number(pitch), onset: h.onset, length: h.length }))));
    return notes.length ? [{ name: "harmony", notes }] : [];
}

function midi_number(pitch) {
    const [, letter, signs, octave] = /^([A-G])(#*|b*)(-?\d+)$/.exec(pitch);
    return { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }[letter] + (signs[0] === "b" ? -1 : 1) * signs.length + 12 * (Number(octave) + 1);
}

function check_midi(stem, model, path) {
    const name = path.slice(stem.length + 1, -4);
    const midi = read_midi(path);
    const passage = (n) => model.passages.find((p) => p.name === n);
    const item = model.timeline.find((i) => i.kind === "demo" && i.output === name);
    if (name.startsWith("passage-")) {
        const p = passage(name.slice("passage-".length));
        check_notes(path, midi, [{ parts: passage_parts(p), onset: 0, end: ratio(p.length) }]);
        const bars = p.bars.map((b) => `bar ${b.number}`);
        const markers = midi.tracks[0].metas.filter((e) => e.type === "marker").map((e) => e.text);
        group.check(bars.every((b) => markers.includes(b)), `${path}: every bar has its marker`, markers.join(", "));
        return;
    }
    if (!group.check(item, `${path}: the model has no such demo`))
        return;
    if (item.figure) {
        const f = model.figures.find((x) => x.name === item.figure);
        const end = Math.max(...f.notes.map((n) => ratio(n.onset) + ratio(n.length)));
        check_notes(path, midi, [{ parts: [{ name: f.part ?? f.name, notes: f.notes }], onset: ratio(f.onset), end }]);
    } else {
        check_notes(path, midi, item.music.map((m) => ({ parts: passage_parts(passage(m.passage)), onset: ratio(m.onset), end: ratio(m.end) })));
    }
    const [got, want] = [midi_seconds(midi), Number(item.length_seconds)];
    group.check(Math.abs(got - want) < 0.002, `${path}: as long as its place in the timeline`, `${got} and ${want} seconds`);
}

// ---- show notes ----------------------------------------------------------------------------------------

function cmark(format, text) {
    const r = spawnSync("cmark", ["-t", format], { input: text, encoding: "utf8", maxBuffer: 1 << 28 });
    return r.status === 0 ? r.stdout : `cmark ended with ${r.status}: ${r.stderr}`;
}

// The words of a document, as cmark read them.
function plain_text(xml) {
    const words = xml.match(/<(text|code)\b[^>]*>[^<]*|<(softbreak|linebreak)|<(paragraph|heading)/g) ?? [];
    const entities = { "&amp;": "&", "&lt;": "<", "&gt;": ">", "&quot;": '"' };
    return squeeze(words.map((w) => (/^<(text|code)/.test(w) ? w.slice(w.indexOf(">") + 1) : " ")).join(""))
        .replace(/&(amp|lt|gt|quot);/g, (e) => entities[e]);
}

function check_notes_page(path, model) {
    const text = readFileSync(path, "utf8");
    const xml = cmark("xml", text);
    group.same(cmark("xml", cmark("commonmark", text)), xml, `${path}: the same after a round through cmark`);
    // An empty comment parts the stars of two emphases that touch.
    const plain_xml = xml.replace(/<html_inline[^>]*>&lt;!-- --&gt;<\/html_inline>/g, "");
    group.check(!/<html_|<code_block|<thematic_break/.test(plain_xml), `${path}: nothing but paragraphs, headings and lists`);
    const plain = plain_text(xml);
    group.check(plain.includes(squeeze(model.episode.title)), `${path}: has the title`);
    for (const c of model.claims.filter((x) => !x.library))
        group.check(plain.includes(squeeze(c.sentence)), `${path}: has the claim ${c.name}`, c.sentence);
    group.check(!/\b\d+ seconds (is|are) (safe|allowed|permitted)/.test(plain), `${path}: promises no safe length`);
}

// ---- all --------------------------------------------------------------------------------------------------

const all = files(outputs);
group.check(all.some((f) => f.endsWith(".json")), `${outputs} holds outputs`);
for (const path of all.filter((f) => f.endsWith(".json"))) {
    const model = JSON.parse(readFileSync(path, "utf8"));
    const stem = path.slice(0, -".json".length);
    group.check(model.version === 1, `${path}: version`);
    const mine = all.filter((f) => f.startsWith(`${stem}.`));
    if (mine.includes(`${stem}.vtt`))
        check_captions(stem, model);
    if (mine.includes(`${stem}.chapters.vtt`))
        check_chapters(`${stem}.chapters.vtt`, model);
    if (mine.includes(`${stem}.md`))
        check_notes_page(`${stem}.md`, model);
    for (const midi of mine.filter((f) => f.endsWith(".mid")))
        check_midi(stem, model, midi);
    const demos = model.timeline.filter((i) => i.kind === "demo").length;
    group.same(mine.filter((f) => f.endsWith(".mid") && !f.includes(".passage-")).length, demos, `${stem}: a file a demo`);
}
process.exit(group.end() ? 1 : 0);
