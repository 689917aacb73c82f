#!/bin/sh
# How long, and how much memory (row D9: 100 episodes in under 2 s, one under 50 ms). Prints figures; fails past the limits.
set -eu
descant=$1
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT

# series.descant NUMBER: an episode as long as a real one, 64 bars, 40 claims, some 1,500 words.
episode() {
    awk -v number="$1" 'BEGIN {
        printf "episode \"Study %d\" { language en }\nwork w { title \"A Study\" }\n", number
        print "passage p of w {\n    basis ear\n    meter 4/4\n    tempo 1/4 = 80\n    part reed for oboe sounding {"
        for (bar = 1; bar <= 64; bar++) printf "        bar %d: 1/4 C5 D5 E5 F5\n", bar
        print "    }\n    part low for cello sounding {"
        for (bar = 1; bar <= 64; bar++) printf "        bar %d: 1/1 C3\n", bar
        print "    }\n}"
        for (i = 1; i <= 40; i++) printf "claim c%d: C5 to E5 is a major third up\n", i
        print "at 0:00 chapter \"One\"\nat 0:01 say {"
        for (i = 1; i <= 40; i++) {
            printf "In this place the line [climbs a third](claim:c%d), and the cello holds its tone below it for a whole bar.\n", i
            print "Listen to how calm it is: nothing moves but the oboe, and nothing has to. Then the bar comes again, as before.\n"
        }
        print "}"
    }'
}

n=1
while [ $n -le 100 ]; do
    episode $n >"$dir/study-$n.descant"
    n=$((n + 1))
done

now() { date +%s%N; }
status=0
# measure WORDS LIMIT-IN-MS COMMAND...
measure() {
    words=$1 limit=$2
    shift 2
    start=$(now)
    "$@" >"$dir/said" 2>&1 || { cat "$dir/said" >&2; exit 1; }
    ms=$((($(now) - start) / 1000000))
    printf '%-36s %6d ms (limit %d)\n' "$words" "$ms" "$limit"
    [ "$ms" -le "$limit" ] || status=1
}

measure 'check one episode' 50 "$descant" check --quiet "$dir/study-1.descant"
measure 'check 100 episodes' 2000 "$descant" check --quiet "$dir"/study-*.descant
measure 'build 100 episodes' 10000 "$descant" build --quiet --out "$dir/out" "$dir"/study-*.descant
# Each episode is freed before the next: a hundred need no more memory than one, but for what is noted of each output.
peak() { (ulimit -v "$1"; "$descant" check --quiet "$dir"/study-*.descant >/dev/null 2>&1); }
kib=4096
while ! peak $kib && [ $kib -lt 1048576 ]; do kib=$((kib * 5 / 4)); done
printf '%-36s %6d MiB of address space at most (limit 64)\n' 'memory for 100 episodes' $((kib / 1024))
[ $kib -le 65536 ] || status=1
exit $status
