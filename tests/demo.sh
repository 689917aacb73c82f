#!/bin/sh
# Builds the example episodes, each into its own folder, and says how their claims stand and what was written; then shows what
# the command says of an episode full of mistakes.
set -eu
descant=$1
out=$2
for name in lamp chorale breakwater; do
    "$descant" build --out "$out/$name" "examples/$name.descant" 2>"$out-$name.log" || {
        cat "$out-$name.log" >&2
        exit 1
    }
    rm -f "$out-$name.log"
done
"$descant" check --color=never --width 100 examples/mistakes.descant 2>"$out/mistakes.txt" || true
printf 'examples/mistakes.descant: %s, all told in %s\n' "$(tail -n 1 "$out/mistakes.txt")" "$out/mistakes.txt"
printf '\nThe outputs are in %s/: .md show notes, .vtt and .srt captions, .mid demos, .json the whole model.\n' "$out"
