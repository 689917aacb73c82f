// Rows C1, C6, C7, C8: captions of narration that is made to be hard, read by webvtt-parser and, SubRip, by a reader of our own:
// the words of all cues joined are the words that are spoken, by each policy for accidentals; marks of the formats are escaped, or
// parted where SubRip has no escape; what is estimated says DRAFT.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { descant, folder, Group, root } from "../harness/harness.mjs";

const require = createRequire(join(root, "build/oracle/node_modules/none.js"));
const { WebVTTParser } = require("webvtt-parser");
const entities = require("webvtt-parser/html-entities.json");
const group = new Group("oracle/captions");

const profile = (style) => `caption-profile mine {
  name "mine"   line 42   lines 2   rate 17 to 20   speech 150   shortest 1 s   longest 7 s   gap 2 frames   close 1 s   accidentals ${style}
}
conventions { caption-profile mine }
`;

const episode = (prose, { style = "words", title = "A Study", chapter = "One" } = {}) => `episode "${title}" { language en   date "2024-05-01" }
work w { title "${title}" }
passage p of w {
  meter 4/4
  tempo 1/4 = 80
  part reed for oboe { bar 1: 1/4 Bb4 C#5 F##5 Ebb5 }
  harmony { bar 1: 1/1 F#m7b5 }
}
${profile(style)}at 0:00 chapter "${chapter}"
at 0:01 say {
${prose}
}
`;

// Narration in CommonMark, and what is heard, by policy; one text stands for all three.
const rows = [
    ["Plain words, and nothing else.", "Plain words, and nothing else."],
    ["A & B, Q&A; 1 < 2 > 0.", "A & B, Q&A; 1 < 2 > 0."],
    ["An arrow --> here, and `-->` there.", "An arrow --> here, and --> there."],
    ["&amp; &lt;b&gt; &#35; stand for marks.", "& <b> # stand for marks."],
    ["\\<i> is no tag, and </c> \\& neither \\*star\\*.", "<i> is no tag, and & neither *star*."],
    ["One.\n\nTwo.\n\n\nThree.", "One. Two. Three."],
    ["--> at the start\n\n7\n\n00:00:01,000 --> 00:00:02,000\n\nNOTE no note\n\nWEBVTT", "--> at the start 7 00:00:01,000 --> 00:00:02,000 NOTE no note WEBVTT"],
    ["STYLE\n::cue { color: red }\n\nREGION\nid:fred", "STYLE ::cue { color: red } REGION id:fred"],
    ["*It* is **so**, *all **of** it*.", "It is so, all of it."],
    ["Hard  \nbreak, and\\\nanother.", "Hard break, and another."],
    ["- one\n- two\n\n> said\n\n# head", "one two said head"],
    ["A café, naïve façade, Dvořák, 音楽 and 🎵.", "A café, naïve façade, Dvořák, 音楽 and 🎵."],
    ["{braces} in {\"a\": 1} stay.", "{braces} in {\"a\": 1} stay."],
    ["A flat major, then F#.", { words: "A flat major, then F sharp.", signs: "A flat major, then F♯.", plain: "A flat major, then F#." }],
    ["From Bb3 to C♯5, over Ebm.", { words: "From B flat 3 to C sharp 5, over E flat minor.", signs: "From B♭3 to C♯5, over E♭m.", plain: "From Bb3 to C#5, over Ebm." }],
    ["F## and B𝄫 are G and A.", { words: "F double sharp and B double flat are G and A.", signs: "F𝄪 and B𝄫 are G and A.", plain: "F## and Bbb are G and A." }],
    ["*C#* and `Db`, (Gb), \"A#\"; Bb's friend.", { words: "C sharp and D flat, (G flat), \"A sharp\"; B flat's friend.", signs: "C♯ and D♭, (G♭), \"A♯\"; B♭'s friend.", plain: "C# and Db, (Gb), \"A#\"; Bb's friend." }],
    ["Abbey, Ebbing, Dublin and Bb.", { words: "Abbey, Ebbing, Dublin and B flat.", signs: "Abbey, Ebbing, Dublin and B♭.", plain: "Abbey, Ebbing, Dublin and Bb." }],
];

const squeeze = (s) => s.replace(/\s+/g, " ").trim();
const node_text = (node) => (node.type === "text" ? node.value : (node.children ?? []).map(node_text).join(""));

function read_vtt(text, kind, words) {
    const { cues, errors } = new WebVTTParser(entities).parse(text, kind);
    group.same(JSON.stringify(errors), "[]", `${words}: WebVTT without errors`);
    return cues.map((c) => ({ start: c.startTime, end: c.endTime, text: node_text(c.tree) }));
}

// A reader of SubRip as players have them: a counter, a line of times, lines up to an empty one; tags of the letter kind are taken out.
function read_srt(text, words) {
    const cues = [], lines = text.split("\n");
    for (let i = 0; i < lines.length; ) {
        if (lines[i] === "") {
            i++;
            continue;
        }
        const times = /^(\d\d):(\d\d):(\d\d),(\d{3}) --> (\d\d):(\d\d):(\d\d),(\d{3})$/.exec(lines[i + 1] ?? "");
        if (!group.check(/^\d+$/.test(lines[i]) && times, `${words}: SubRip counter and times`, lines.slice(i, i + 3).join("\n")))
            return cues;
        group.check(Number(lines[i]) === cues.length + 1, `${words}: SubRip counts ${lines[i]}`);
        const t = times.slice(1).map(Number);
        let n = i + 2;
        while (n < lines.length && lines[n] !== "")
            n++;
        cues.push({ start: t[0] * 3600 + t[1] * 60 + t[2] + t[3] / 1000, end: t[4] * 3600 + t[5] * 60 + t[6] + t[7] / 1000,
                    text: lines.slice(i + 2, n).join("\n").replace(/<\/?[a-zA-Z][^>]*>/g, "") });
        i = n;
    }
    return cues;
}

function build(text) {
    const cwd = folder({ "x.descant": text });
    const r = descant(["build", "--to", "vtt,srt", "x.descant"], { cwd });
    group.check(r.status === 0, "builds", text + r.stderr);
    const read = (f) => (r.status === 0 ? readFileSync(join(cwd, "out", f), "utf8") : "");
    return { vtt: read("x.vtt"), srt: read("x.srt"), chapters: read("x.chapters.vtt") };
}

for (const [prose, heard] of rows)
    for (const style of ["words", "signs", "plain"]) {
        const want = typeof heard === "string" ? heard : heard[style], words = `${JSON.stringify(prose)} in ${style}`;
        const { vtt, srt } = build(episode(prose, { style }));
        const cues = read_vtt(vtt, "subtitles", words), subrip = read_srt(srt, words);
        group.same(squeeze(cues.map((c) => c.text).join(" ")), want, `${words}: WebVTT`);
        // SubRip has no escapes: a space parts an arrow, and what a player could take for a tag.
        group.same(squeeze(subrip.map((c) => c.text).join(" ")), squeeze(want.replace(/-->/g, "-- >").replace(/<(?=[A-Za-z/!])/g, "< ")), `${words}: SubRip`);
        group.same(JSON.stringify(subrip.map((c) => [c.start, c.end])), JSON.stringify(cues.map((c) => [c.start, c.end])), `${words}: the same times`);
        group.check(cues.every((c, i) => c.end > c.start && (!i || c.start >= cues[i - 1].end)), `${words}: cues follow one another`);
        group.check(!vtt.slice(6).split("\n").some((l) => /-->/.test(l) && !/^[\d:.]+ --> [\d:.]+$/.test(l)), `${words}: an arrow stands in times only`, vtt);
    }

// Marks in titles, which reach notes, chapters and the description of music.
const hard = "A & B <c> --> d";
const { vtt, srt, chapters } = build(episode("One word.", { title: hard, chapter: hard }) + "at 0:12 demo p\n");
group.check(read_vtt(vtt, "subtitles", "titles").some((c) => squeeze(c.text).includes(hard)), "a title in the description of music", vtt);
group.same(read_vtt(chapters, "chapters", "titles").map((c) => c.text).join(), hard, "a title in the chapters");
group.check(!/<c>|-->.*d/.test(srt.replace(/^[\d:,]+ --> [\d:,]+$/gm, "")), "no tag and no arrow in SubRip", srt);

// The description of music follows the policy as well.
for (const [style, symbol] of [["words", "F sharp minor seven flat five"], ["signs", "F♯m7♭5"], ["plain", "F#m7b5"]]) {
    const made = build(episode("One word.", { style }) + "at 0:12 demo p\n");
    group.check(squeeze(read_vtt(made.vtt, "subtitles", style).map((c) => c.text).join(" ")).includes(symbol), `the description of music in ${style}`, made.vtt);
}
const usual = build(episode("Then Bb.").replace(profile("words"), ""));
group.check(usual.vtt.includes("Then B flat."), "words are the default", usual.vtt);

// What rests on estimates says so (row C8), and only that.
group.check(/^NOTE DRAFT: the times of 1 of 1 captions are estimates/m.test(usual.vtt), "an estimated time is marked DRAFT", usual.vtt);
const timed = build(episode("Then Bb.").replace("at 0:01 say {", "at 0:01 say from 0:01 to 0:03 {"));
group.check(!timed.vtt.includes("DRAFT"), "a given time is not", timed.vtt);

process.exitCode = group.end() ? 1 : 0;
