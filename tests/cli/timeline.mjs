// How long what is not timed is taken to last: music at its tempo, and without one as it is rendered.
import { descant } from "../harness/harness.mjs";

const source = `episode "Lengths" { }
work w { title "A Study" }
passage free of w {
  meter 4/4
  part a for oboe { bar 1: 1/1 C5 | D5 }
}
passage slow of w {
  meter 4/4
  tempo 1/4 = 60
  part b for oboe { bar 1: 1/1 C5 | D5 }
  figure cut is b bar 1
}
figure alone { 1/1 C5 D5 }
`;

// Start and length in seconds, as `--dump timeline` has them.
function lengths(statements) {
    const r = descant(["check", "--quiet", "--dump", "timeline", "-"], { input: source + statements });
    return [...r.stdout.matchAll(/^(\S+) \+(\S+) (\w+)/gm)].map(([, start, length, kind]) => `${kind} ${start} ${length}`).join(", ");
}

export default function (group) {
    group.same(lengths("at 0:00 demo free\nthen demo free bar 1\n"), "demo 0 4, demo 4 2", "without a tempo a whole note lasts two seconds");
    group.same(lengths("at 0:00 demo slow\nthen demo slow bar 2\n"), "demo 0 8, demo 8 4", "with a tempo, as it says");
    group.same(lengths("at 0:00 demo free, slow\n"), "demo 0 12", "several passages, one after the other");
    group.same(lengths("at 0:00 demo cut\nthen demo alone\n"), "demo 0 4, demo 4 4", "a figure has the tempo of its passage");
    group.same(lengths("at 0:00 silence for 2.5 s\nthen silence 3 s\nthen silence\nthen show free as staff\nthen chapter \"A\"\n"),
               "silence 0 5/2, silence 5/2 3, silence 11/2 0, show 11/2 0, chapter 11/2 0", "silence as given; pictures and chapters take no time");
    group.same(lengths("at 0:00 say { One two three four five. }\nthen say from 0:10 to 0:12 { Six. }\n"), "say 0 2, say 10 2", "speech at 150 words a minute, or as recorded");
    group.same(lengths("at 0:10 silence 5 s\nat 0:30 silence 5 s\nrecut at 0:20 by -2 s\nrecut at 0:30 by 0:01\n"), "silence 10 5, silence 29 5", "recuts count from the times written");
}
