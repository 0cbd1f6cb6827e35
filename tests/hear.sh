#!/usr/bin/env bash
# Hears the program: a class with keys at random moments, on a sound server of its own with a sink
# that nobody hears, the monitor recorded, eight busy loops beside it. Prints what was heard against
# what was ordered, beside a player that makes a play call per beep. Fails where a tone is lost,
# doubled, or displaced by more than a millisecond inside a count.
#
# tests/hear.sh            ten minutes, then ten minutes with an offset of 200 ms
# tests/hear.sh --words    words in the ear beside the tones, ten minutes; needs espeak-ng
# tests/hear.sh --return   how long the sound takes to be back after the server was restarted
# With --short before one of the first two: two minutes in all.
#
# MATSIDE_HEAR_SHARED=1, for a machine that is not ours alone (CI): a count may be displaced by as
# much as the player beside it, and a run in which the sound server was starved is made again, twice
# at the most. MATSIDE_HEAR_BUSY sets another number of busy loops, MATSIDE_HEAR_OFFSETS other offsets,
# MATSIDE_HEAR_SEED other keys, MATSIDE_HEAR_KEEP a folder in which recordings are left;
# MATSIDE_HEAR_PLAIN=1 takes from the player what it needs to be given real-time priority.
#
# Works as root and in a container; no server has to run. Needs Debian's pulseaudio, pulseaudio-utils and libasound2-plugins.
set -euo pipefail
cd "$(dirname "$0")/.."

seconds=600
if [ "${1-}" = --short ]; then seconds=55; shift; fi
case ${1-} in
    --words)
        export MATSIDE_HEAR_WORDS=1 MATSIDE_HEAR_OFFSETS=${MATSIDE_HEAR_OFFSETS-0}
        [ "$seconds" = 600 ] || seconds=110
        ;;
    --return | '') ;;
    *) echo "usage: tests/hear.sh [--short] [--words] | --return" >&2; exit 64 ;;
esac
for tool in pulseaudio pactl parec; do
    command -v "$tool" >/dev/null || { echo "$tool is not installed" >&2; exit 69; }
done

built=$(cargo test --locked --test hear --no-run 2>&1) || { echo "$built" >&2; exit 65; }
room=$(mktemp -d)
cp "$(sed -n 's/^ *Executable .*(\(.*\))$/\1/p' <<<"$built" | tail -n 1)" "$room/hear"
pids=()
leave() {
    for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null || true; done
    wait 2>/dev/null || true
    rm -rf "$room"
}
trap leave EXIT

# A home, a runtime folder and an ALSA of our own: nobody's server is touched.
mkdir -m 700 "$room/run"
export HOME=$room XDG_RUNTIME_DIR=$room/run PULSE_RUNTIME_PATH=$room/run/pulse
export ALSA_CONFIG_PATH=$room/asound.conf MATSIDE_HEAR=$room
unset PULSE_SERVER
export PULSE_CLIENTCONFIG=$room/client.conf
echo "autospawn = no" >"$PULSE_CLIENTCONFIG"
cat >"$room/asound.conf" <<'CONF'
</usr/share/alsa/alsa.conf>
pcm.!default { type pulse }
ctl.!default { type pulse }
CONF

# A session of its own, as a desktop's server has one: a busy system shares the processor between
# sessions first. Without norewinds the sink first plays out the up to two seconds of silence that it
# has made ahead.
cat >"$room/serve" <<SERVE
#!/bin/sh
exec setsid pulseaudio -n --daemonize=no --use-pid-file=no --exit-idle-time=-1 --log-level=error \
    -L module-native-protocol-unix \
    -L "module-null-sink sink_name=quiet rate=48000 channels=2 norewinds=1" 2>>"$room/server.log"
SERVE
chmod +x "$room/serve"

serve() {
    "$room/serve" &
    server=$!
    pids=("$server")
    for _ in $(seq 100); do pactl info >/dev/null 2>&1 && return; sleep 0.1; done
    echo "the sound server does not start:" >&2
    cat "$room/server.log" >&2
    exit 69
}

plain=()
[ -z "${MATSIDE_HEAR_PLAIN-}" ] || plain=(setpriv --bounding-set=-sys_nice)

run() {
    local told
    told=$(RUST_BACKTRACE=0 "${plain[@]}" "$room/hear" --exact "$1" --ignored --nocapture 2>&1) || {
        echo "$told"
        return 1
    }
    grep -v '^$\|^running\|^test ' <<<"$told"
}

# A run with an offset in milliseconds and so many busy loops.
hear() {
    local busy=() loop failed=0
    parec --device=quiet.monitor --rate=48000 --channels=2 --format=s16le --raw >"$room/heard.raw" &
    local recorder=$!
    pids+=("$recorder")
    for _ in $(seq "$2"); do
        bash -c 'until false; do :; done' &
        busy+=($!)
    done
    pids+=("${busy[@]}")
    MATSIDE_HEAR_SECONDS=$seconds MATSIDE_HEAR_OFFSET=$1 run play || failed=1
    for loop in "${busy[@]}"; do
        kill "$loop" || { echo "a busy loop had ended before" >&2; failed=1; }
    done
    sleep 1
    kill "$recorder"
    wait "${busy[@]}" "$recorder" 2>/dev/null || true
    pids=("$server")
    [ "$failed" = 0 ] || return 1
    [ -z "${MATSIDE_HEAR_KEEP-}" ] || cp "$room"/{meant.txt,heard.raw,server.log} "$MATSIDE_HEAR_KEEP"
    run tell
}

if [ "${1-}" = --return ]; then
    run back
    exit
fi
serve
status=0
busy=${MATSIDE_HEAR_BUSY-8}
tries=1
[ -z "${MATSIDE_HEAR_SHARED-}" ] || tries=3
for offset in ${MATSIDE_HEAR_OFFSETS-0 200}; do
    heard=1
    for _ in $(seq "$tries"); do
        hear "$offset" "$busy" && heard=0 && break
    done
    [ "$heard" = 0 ] || status=1
done
exit "$status"
