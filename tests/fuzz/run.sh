#!/bin/sh
# Runs each fuzzer for a while: run.sh BUILD SECONDS TARGET...   What it finds lies in BUILD/found/, the corpus it grows in
# BUILD/corpus/. Status 1 if anything was found.
set -eu
cd "$(dirname "$0")/../.."
build=$1
seconds=$2
shift 2

node tests/fuzz/seeds.mjs "$build/seeds"
sed -n 's/^KEYWORD([A-Z_]*, \("[a-z-]*"\)).*/\1/p' grammar/tokens.def >"$build/words.dict"

found=0
for target in "$@"; do
    mkdir -p "$build/corpus/$target" "$build/found/$target"
    kept=tests/fuzz/corpus/$target
    [ -d "$kept" ] || kept=
    max=20000
    case $target in claim | words) max=400 ;; narration) max=4000 ;; esac
    # Hangs only: the limit of a second a megabyte is kept by the replayer, which counts processor time.
    status=0
    "$build/tests/fuzz/fuzz-$target" -max_total_time="$seconds" -max_len=$max -timeout=60 -report_slow_units=60 -rss_limit_mb=2048 \
        -print_final_stats=1 -verbosity=1 -dict="$build/words.dict" -artifact_prefix="$build/found/$target/" \
        "$build/corpus/$target" "$build/seeds/$target" ${kept:+"$kept"} >"$build/$target.log" 2>&1 || status=$?
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$build/$target.log")
    if [ "$status" -ne 0 ] || [ -n "$(ls "$build/found/$target")" ]; then
        found=1
        printf 'fuzz %s: found something: see %s and %s/found/%s\n' "$target" "$build/$target.log" "$build" "$target"
    else
        printf 'fuzz %s: %s runs in %s s, nothing found\n' "$target" "$runs" "$seconds"
    fi
done
exit $found
