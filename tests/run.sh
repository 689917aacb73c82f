#!/bin/sh
# Runs every test and ends with one line, "N passed, N failed". --quick leaves out the sanitizers.
set -u
cd "$(dirname "$0")/.."
LC_ALL=C
export LC_ALL

mkdir -p build
log=build/test.log
: >"$log"

# Each suite prints lines that end in "N passed, N failed". One that prints none, or ends badly without a failure counted,
# has failed itself.
suite() {
    name=$1
    shift
    "$@" >build/suite.log
    status=$?
    grep -v ': seed ' build/suite.log
    awk -v name="$name" -v status="$status" '
        /: [0-9]+ passed, [0-9]+ failed$/ { passed += $(NF - 3); failed += $(NF - 1); lines++ }
        END {
            if (!lines) { print name ": printed no count" > "/dev/stderr"; failed++ }
            else if (status != 0 && !failed) { print name ": ended with status " status > "/dev/stderr"; failed++ }
            print passed + 0, failed + 0
        }' build/suite.log >>"$log"
}

# variant BUILD-FOLDER
variant() {
    for source in tests/unit/*.c tests/reference/*.c; do
        [ -f "$source" ] || continue
        program=$1/${source%.c}
        suite "$program" "$program" .
    done
    # Under the sanitizers a case takes ten times as long.
    cases=1500
    [ "$1" = build ] || cases=400
    node tests/fuzz/seeds.mjs build/fuzz-seeds
    suite "$1 fuzz" "$1/tests/fuzz/replay" --cases "$cases" --crash "$1/fuzz-crash" build/fuzz-seeds tests/fuzz/corpus
    suite "$1 run.mjs" env DESCANT="$1/descant" node tests/run.mjs
}

suite layering sh tests/layering.sh
variant build
for oracle in tests/oracle/*.mjs; do
    # What several oracles share counts nothing itself.
    grep -q 'passed' "$oracle" 2>/dev/null || grep -q 'new Group' "$oracle" 2>/dev/null || continue
    suite "$oracle" env DESCANT=build/descant node "$oracle"
done
if [ "${1:-}" != --quick ]; then
    echo 'once more under the address and undefined-behaviour sanitizers'
    variant build/asan
fi

awk '{ passed += $1; failed += $2 } END { printf "%d passed, %d failed\n", passed, failed; exit failed > 0 }' "$log"
