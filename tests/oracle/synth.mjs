// Renders every MIDI file of the examples with a synthesiser (Debian's fluidsynth and a General MIDI sound set) and asserts that it has
// nothing to complain of and that the sound is as long as the music.
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { descant, folder, Group, root } from "../harness/harness.mjs";

const require = createRequire(join(root, "build/oracle/node_modules/none.js"));
const { parseMidi } = require("midi-file");
const group = new Group("oracle/synth");

const sound_sets = ["/usr/share/sounds/sf2/TimGM6mb.sf2", "/usr/share/sounds/sf2/default-GM.sf2", "/usr/share/sounds/sf3/default-GM.sf3"];
const sound_set = sound_sets.find(existsSync);
group.check(sound_set !== undefined, "a General MIDI sound set is installed");

// Seconds to the last event by the file's own tempo map.
function seconds(bytes) {
    const midi = parseMidi(bytes);
    const changes = [];
    let end = 0;
    for (const track of midi.tracks) {
        let tick = 0;
        for (const e of track) {
            tick += e.deltaTime;
            if (e.type === "setTempo")
                changes.push({ tick, us: e.microsecondsPerBeat });
        }
        end = Math.max(end, tick);
    }
    let at = 0, us = 500000, total = 0;
    for (const c of [...changes.sort((a, b) => a.tick - b.tick), { tick: end, us: 0 }]) {
        total += ((c.tick - at) / midi.header.ticksPerBeat) * (us / 1e6);
        at = c.tick;
        us = c.us;
    }
    return total;
}

const RATE = 44100;
const out = folder();
for (const file of readdirSync(join(root, "examples")).filter((f) => /^(lamp|chorale)\.descant$/.test(f)).sort()) {
    const dir = join(out, basename(file, ".descant"));
    descant(["build", "--to", "mid", "--out", dir, join("examples", file)]);
    const songs = readdirSync(dir).filter((f) => f.endsWith(".mid")).sort();
    group.check(songs.length > 0, `${file} gives MIDI files`);
    for (const song of songs) {
        const wav = join(dir, song + ".wav");
        const r = spawnSync("fluidsynth", ["-n", "-i", "-q", "-r", String(RATE), "-T", "wav", "-F", wav, sound_set, join(dir, song)],
            { encoding: "utf8" });
        const complaints = (r.stdout + r.stderr).split("\n").filter((l) => /warning|error|panic|failed/i.test(l));
        group.check(r.status === 0 && complaints.length === 0, `${song}: the synthesiser has no complaint`, complaints.join("\n"));
        const length = (readFileSync(wav).length - 44) / 4 / RATE;
        const music = seconds(readFileSync(join(dir, song)));
        // The last notes ring: a release of a few seconds at most, never less than the music.
        group.check(length >= music - 0.05 && length <= music + 8, `${song}: ${length.toFixed(2)} s of sound for ${music.toFixed(2)} s of music`);
    }
}
process.exit(group.end() ? 1 : 0);
