// Row M1: one passage with everything that a MIDI file has to carry, written out by hand as it must be read back by midi-file: format 1,
// tempo, meter, key and markers in the first track, a track a part with its name and General MIDI program, sounding pitch, every
// note paired, End of Track last.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { descant, folder, Group, root } from "../harness/harness.mjs";

const { parseMidi } = createRequire(join(root, "build/oracle/node_modules/none.js"))("midi-file");
const group = new Group("oracle/midi");

const episode = `episode "MIDI" { }
work w { title "A Study" }
passage p of w {
  meter 3/4
  tempo 1/4 = 60
  key Eb major
  pickup 1/4
  from bar 2: meter 3+2/8
  from bar 2: tempo 3/8 = 50
  from bar 3: meter 4/4
  from bar 3: key F# minor
  part reed for english-horn written {
    bar 0: 1/4 B4
    bar 1: 3/4 C5
    bar 2: 1/8 D5 E5 F5 G5 A5
    bar 3: 1/12 B4 C5 D5 3/4 hold
  }
  part low for cello {
    bar 0: 1/4 rest
    bar 1: 3/4 (C3 G3)
    bar 2: 5/8 hold
    bar 3: 1/2 F##3 Bbb2
  }
}
at 0:00 demo p bars 2 to 3
`;

// Ticks are counted in wholes: D is the division, a quarter.
function read(path) {
    const { header, tracks } = parseMidi(readFileSync(path));
    group.same(header.format, 1, "format 1");
    const at = (ticks) => ticks / header.ticksPerBeat / 4;
    return tracks.map((events) => {
        let tick = 0;
        const open = new Map(), notes = [], metas = [];
        for (const e of events) {
            tick += e.deltaTime;
            if (e.type === "noteOn" && e.velocity > 0) {
                group.check(!open.has(e.noteNumber), `key ${e.noteNumber} is not struck twice`);
                open.set(e.noteNumber, tick);
            } else if (e.type === "noteOff" || e.type === "noteOn") {
                group.check(open.has(e.noteNumber), `key ${e.noteNumber} was struck`);
                notes.push([e.noteNumber, at(open.get(e.noteNumber)), at(tick)]);
                open.delete(e.noteNumber);
            } else {
                metas.push({ ...e, at: at(tick) });
            }
        }
        group.same(open.size, 0, "every key is let go");
        group.same(events.at(-1).type, "endOfTrack", "End of Track is last");
        group.same(events.filter((e) => e.type === "endOfTrack").length, 1, "and stands once");
        return { notes: notes.sort((a, b) => a[1] - b[1] || a[0] - b[0]), metas };
    });
}

const near = (a, b) => Math.abs(a - b) < 1e-9;
const find = (track, type) => track.metas.filter((e) => e.type === type);

function same_notes(got, want, words) {
    const fine = got.length === want.length && got.every((n, i) => n[0] === want[i][0] && near(n[1], want[i][1]) && near(n[2], want[i][2]));
    group.check(fine, words, `${JSON.stringify(got)}\n${JSON.stringify(want)}`);
}

function same_events(list, want, words) {
    const fine = list.length === want.length && list.every((e, i) => near(e.at, want[i][0]) && JSON.stringify(want[i].slice(1)) === JSON.stringify(e.values));
    group.check(fine, words, JSON.stringify(list));
}

const cwd = folder({ "x.descant": episode });
const r = descant(["build", "--to", "mid", "x.descant"], { cwd });
group.check(r.status === 0, "builds", r.stderr);
if (r.status === 0) {
    const [first, reed, low, ...more] = read(join(cwd, "out/x.passage-p.mid"));
    group.check(more.length === 0 && first.notes.length === 0, "a track a part, and the first without notes");
    // Where bars begin, in wholes: the pickup at 0, bar 1 at 1/4, bar 2 at 1, bar 3 at 13/8.
    same_events(find(first, "setTempo").map((e) => ({ at: e.at, values: [e.microsecondsPerBeat] })), [[0, 1000000], [1, 800000]], "tempo: a quarter at 60; 3/8 at 50 is a quarter at 75");
    const meters = find(first, "timeSignature").map((e) => ({ at: e.at, values: [e.numerator, e.denominator] }));
    group.check(meters.some((m) => near(m.at, 0.25) || near(m.at, 0)) && JSON.stringify(meters.at(-2)?.values) === "[5,8]" && near(meters.at(-2).at, 1) && JSON.stringify(meters.at(-1)?.values) === "[4,4]" && near(meters.at(-1).at, 13 / 8), "meter: 3/4, then 5/8 for 3+2/8, then 4/4", JSON.stringify(meters));
    same_events(find(first, "keySignature").map((e) => ({ at: e.at, values: [e.key, e.scale] })), [[0, -3, 0], [13 / 8, 3, 1]], "key: three flats major, then three sharps minor");
    const markers = find(first, "marker");
    for (const [bar, where] of [["bar 1", 0.25], ["bar 2", 1], ["bar 3", 13 / 8]])
        group.check(markers.some((m) => m.text.startsWith(bar) && near(m.at, where)), `a marker at ${bar}`, JSON.stringify(markers));
    for (const track of [reed, low])
        group.check(["setTempo", "timeSignature", "keySignature", "marker"].every((t) => find(track, t).length === 0), "maps stand in the first track only");
    group.same(find(reed, "trackName").map((e) => e.text).join(), "reed", "the name of a part");
    group.same(find(low, "trackName").map((e) => e.text).join(), "low", "the name of the other");
    // General MIDI level 1: 70 is English horn, 43 cello, counted from 1.
    group.same(find(reed, "programChange").map((e) => e.programNumber + 1).join(), "70", "the program of an English horn");
    group.same(find(low, "programChange").map((e) => e.programNumber + 1).join(), "43", "the program of a cello");
    // Written a perfect fifth above what sounds: B4 sounds E4.
    same_notes(reed.notes, [[64, 0, 1 / 4], [65, 1 / 4, 1], [67, 1, 9 / 8], [69, 9 / 8, 10 / 8], [70, 10 / 8, 11 / 8], [72, 11 / 8, 12 / 8], [74, 12 / 8, 13 / 8],
        [64, 13 / 8, 13 / 8 + 1 / 12], [65, 13 / 8 + 1 / 12, 13 / 8 + 2 / 12], [67, 13 / 8 + 2 / 12, 21 / 8]], "the reed, sounding, with its triplet and its tie");
    same_notes(low.notes, [[48, 1 / 4, 13 / 8], [55, 1 / 4, 13 / 8], [55, 13 / 8, 17 / 8], [45, 17 / 8, 21 / 8]], "the cello: a tied chord, F double sharp, B double flat");

    const [head, ...parts] = read(join(cwd, "out/x.demo-1-p.mid"));
    same_notes(parts[0].notes, reed.notes.slice(2).map(([key, on, off]) => [key, on - 1, off - 1]), "a demo of bars 2 and 3 begins at its first bar");
    same_notes(parts[1].notes, [[48, 0, 5 / 8], [55, 0, 5 / 8], [55, 5 / 8, 9 / 8], [45, 9 / 8, 13 / 8]], "what was struck before sounds on");
    group.check(near(find(head, "setTempo")[0].at, 0) && find(head, "setTempo")[0].microsecondsPerBeat === 800000, "with the tempo in force there", JSON.stringify(find(head, "setTempo")));
    group.check(JSON.stringify([find(head, "keySignature")[0]?.key, find(head, "keySignature")[0]?.at]) === "[-3,0]", "and the key", JSON.stringify(find(head, "keySignature")));
}
process.exitCode = group.end() ? 1 : 0;
