#!/bin/sh
# The long runs in a terminal: classes that are killed and come back, classes in real time, a thousand
# keys, every session at every size. About twenty minutes; `tests/long.sh short`: four kills, and the
# shortest session at every size, half a minute.
set -eu
cd "$(dirname "$0")/.."
long() { cargo test --locked --test terminal "$1" -- --ignored --nocapture --test-threads 1; }
case "${1:-all}" in
    all) long long:: ;;
    short)
        export MATSIDE_ONE_IN=50
        long long::two_hundred
        long long::every_session
        ;;
    *)
        echo "tests/long.sh [short]" >&2
        exit 64
        ;;
esac
