// Small episodes that the tests of the command share.

// Nothing wrong; one claim that holds. (Row L1.)
export const fine = `episode "The Lantern" { language en   date "2024-05-01" }
work w { title "A Study" }
passage p of w {
    basis ear
    meter 4/4
    tempo 1/4 = 80
    part reed for oboe sounding {
        bar 1: 1/4 C5 D5 E5 F5
    }
}
claim rise: C5 to E5 is a major third up
cite book { author "A. Writer"   title "On Lanterns"   year 1998 }
at 0:00 chapter "The lantern"
at 0:01 say from 0:01 to 0:14 {
The line [climbs a third](claim:rise), says [one writer](cite:book).
}
at 0:15 chapter "The line alone"
then demo p
then silence for 11 s
at 0:30 chapter "The end"
at 0:30 say from 0:30 to 0:41 { Now listen to it once more, and follow the oboe. }
`;

// Its one claim fails.
export const fails = fine.replace("a major third up", "a minor third up");

// Its one claim cannot be decided: a symbol has no voices.
export const open = fine
    .replace("    part reed for oboe sounding {\n        bar 1: 1/4 C5 D5 E5 F5\n    }\n", "    harmony {\n        bar 1: 1/2 C D\n    }\n")
    .replace("claim rise: C5 to E5 is a major third up", "claim rise: the harmony of p moves up a major second in real parallel motion")
    .replace("[climbs a third](claim:rise)", "climbs")
    .replace("then demo p\n", "");

// A mistake of another kind.
export const broken = fine.replace("at 0:00 chapter", "at 0:00 chaptre");
