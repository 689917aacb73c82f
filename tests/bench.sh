#!/bin/sh
# What `descant check` costs against cmark on the same bytes, by turns in one run. Prints a table of ratios; it is no test and fails
# for no figure.
#
# Series: made-up episodes in the proportion of examples/breakwater.descant (tests/bench/generate.mjs, seeded), 0.1, 1 and 10 MB,
# all files of a size in one process of either tool. One: that example alone, start-up included. Wall time is the median of the
# runs, memory the largest resident set. Linear growth shows in the last column, nanoseconds a byte.
set -eu
descant=$1
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
${CC:-gcc} -std=c11 -O2 -o "$dir/measure" tests/bench/measure.c

# row NAME BYTES RUNS FILE...
row() {
    name=$1 bytes=$2 runs=$3
    shift 3
    "$dir/measure" "$runs" "$descant" check --quiet "$@" -- cmark "$@" >"$dir/figures"
    awk -v name="$name" -v bytes="$bytes" '
        NF { for (i = 1; i <= NF; i++) if ($i ~ /^[0-9]+$/) f[++n] = $i }
        END {
            printf "%-22s %9.2f ms %9.2f ms %6.2f %8d KiB %8d KiB %8.1f ns\n", name, f[1] / 1000, f[4] / 1000, f[1] / f[4],
                f[3], f[6], f[1] * 1000 / bytes
        }' "$dir/figures"
}

printf '%-22s %12s %12s %6s %12s %12s %11s\n' '' descant cmark ratio memory 'its memory' 'a byte'
for size in 100000 1000000 10000000; do
    node tests/bench/generate.mjs "$dir/$size" "$size" >/dev/null
    # libraries are part of the bytes that both read
    files=$(find "$dir/$size" -name '*.descant' | sort)
    bytes=$(cat $files | wc -c)
    # shellcheck disable=SC2086  # a list of names
    row "$bytes bytes" "$bytes" 9 $files
done
row 'one episode' "$(wc -c <examples/breakwater.descant)" 201 examples/breakwater.descant
