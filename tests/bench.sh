#!/bin/sh
# How long `check` takes beside cmark, the CommonMark program of Debian, on the same bytes.
#
#   bench.sh DESCANT MEASURE [SEED]
#
# Prints figures and judges none of them: they depend on the machine and on what else it does. Both programs get the same files
# as arguments of one process and write to /dev/null; the two run by turns (tests/bench/measure.c), so that a busy machine is as
# busy for the one as for the other.
#
# The table, a row an input:
#   one file       examples/breakwater.descant alone. Most of it is the start of a process: descant's comes with the standard
#                  library, cmark's with nothing.
#   0.1, 1, 10 MB  made-up episodes in the proportions of that example, libraries included (tests/bench/generate.mjs). descant
#                  works on as many files at a time as there are processors (cli/crew.h), cmark on one after the other.
#   one CPU        the 10 MB once more, each program held to one processor (taskset): what the work itself costs.
#   ms             wall time of the whole process: the median of all runs, and the least.
#   ratio          descant's time by cmark's: of the medians, and of the least. Aims: at most 3 for one file, 1.5 for 10 MB.
#                  The least tells what the programs need, the median what a user waits here and now.
#   MiB            the most memory held, maximum resident set. Aim: for 10 MB not more than cmark. cmark keeps its whole input as
#                  one tree; descant has a few files in hand at a time, and their memory serves again for the next.
# Below it, how descant's time grows, on one processor: what each further byte takes once the first episode is taken off, with the
# start of the process and all memory that is touched for the first time; by what it takes in 10 MB. Linear growth is 1.00; aim:
# within 0.85 and 1.15.
set -eu
descant=$1
measure=$2
seed=${3:-1}
cd "$(dirname "$0")/.."
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
command -v cmark >/dev/null || { echo 'bench: cmark is missing (Debian package cmark)' >&2; exit 2; }

# Runs a command on one processor, where that can be asked for.
on_one() {
    if command -v taskset >/dev/null; then
        taskset -c 0 "$@"
    else
        "$@"
    fi
}

# row WORDS: one line of the table, from what measure prints.
row() {
    awk -v words="$1" '
        NR == 1 { a = $1; b = $2; k = $3 }
        NR == 2 {
            printf "%-9s %8.2f %8.2f %8.2f %8.2f %7.2f %7.2f %9.1f %7.1f\n", words, a / 1000, b / 1000, $1 / 1000, $2 / 1000,
                a / $1, b / $2, k / 1024, $3 / 1024
        }'
}

# both RUNS FILE...
both() {
    runs=$1
    shift
    "$measure" "$runs" "$descant" check --quiet "$@" -- cmark "$@"
}

# least RUNS FILE...: descant's least time on one processor, in microseconds, and the bytes of the files.
least() {
    runs=$1
    shift
    on_one "$measure" "$runs" "$descant" check --quiet "$@" -- true | awk 'NR == 1 { printf "%d ", $2 }'
    cat "$@" | wc -c
}

for size in 0.1 1 10; do
    node tests/bench/generate.mjs "$dir/$size" "$(awk "BEGIN { print $size * 1000000 }")" "$seed"
done

printf '%-9s %17s %17s %15s %17s\n' '' 'descant, ms' 'cmark, ms' 'ratio' 'MiB'
printf '%-9s %8s %8s %8s %8s %7s %7s %9s %7s\n' '' median least median least median least descant cmark
both 400 examples/breakwater.descant | row 'one file'
both 100 "$dir/0.1"/*.descant | row '0.1 MB'
both 30 "$dir/1"/*.descant | row '1 MB'
both 10 "$dir/10"/*.descant | row '10 MB'
on_one "$measure" 10 "$descant" check --quiet "$dir/10"/*.descant -- cmark "$dir/10"/*.descant | row 'one CPU'

{
    least 200 "$dir/10/episode-1.descant"
    least 100 "$dir/0.1"/*.descant
    least 30 "$dir/1"/*.descant
    least 10 "$dir/10"/*.descant
} | awk '{ us[NR] = $1; bytes[NR] = $2 }
    END {
        for (i = 2; i <= 4; i++)
            byte[i] = (us[i] - us[1]) / (bytes[i] - bytes[1])
        printf "\ngrowth on one CPU, the first episode (%.2f ms) taken off: 0.1 MB %.2f, 1 MB %.2f, 10 MB 1.00\n", us[1] / 1000,
            byte[2] / byte[4], byte[3] / byte[4]
    }'
