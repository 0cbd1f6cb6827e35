#!/bin/sh
# The pages to print, as a browser prints them: how many pages they take, and what the browser says.
#
# Every session of the folder, on A4 and Letter: a sheet has one or two pages, so has a cover, and a
# card has its own. Wants chromium, and pdfinfo of poppler-utils. `tests/sheets.sh KEEP` leaves the
# PDF files in the folder KEEP, to be looked at.
set -eu
program=${MATSIDE:-target/debug/matside}
keep=${1:-}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
failed=0

pages() { # the HTML file without its ending, what it may take
    chromium --headless --no-sandbox --disable-gpu --no-pdf-header-footer --enable-logging=stderr \
        --print-to-pdf="$1.pdf" "$1.html" >"$1.log" 2>&1
    if grep CONSOLE "$1.log"; then failed=1; fi
    told=$(pdfinfo "$1.pdf" | sed -n 's/^Pages: *//p')
    echo "$(basename "$1"): $told"
    if [ "$told" -lt "$2" ] || [ "$told" -gt "$3" ]; then
        echo "  where $2 to $3 are wanted"
        failed=1
    fi
}

for session in sessions/*.ron; do
    for paper in a4 letter; do
        name="$folder/$(basename "$session" .ron)-$paper"
        "$program" sheet "$session" --paper "$paper" -o "$name-sheet.html"
        "$program" sheet "$session" --paper "$paper" --cover -o "$name-cover.html"
        "$program" sheet "$session" --paper "$paper" --stations -o "$name-cards.html"
        pages "$name-sheet" 1 2
        pages "$name-cover" 1 2
        cards=$(grep -c '<section class="card' "$name-cards.html")
        pages "$name-cards" "$cards" "$cards"
    done
done
if [ -n "$keep" ]; then mkdir -p "$keep" && cp "$folder"/*.pdf "$folder"/*.html "$keep"; fi
exit "$failed"
