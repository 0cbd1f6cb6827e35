//! Onsets of a long class, sample for sample.

#![expect(
    clippy::cast_possible_truncation,
    reason = "figures of a test are small"
)]

use super::*;
use crate::sound::tones::KINDS;

/// A class of an hour with some 700 signals at odd milliseconds, none closer than 1.3 s.
fn hour() -> (Vec<Signal>, Span) {
    let mut random = fastrand::Rng::with_seed(11);
    let mut at = Offset::from_millis(0);
    let mut score = Vec::new();
    while at.millis() < 3_600_000 - 10_000 {
        let kind = KINDS[random.usize(..KINDS.len())];
        score.push(Signal { at, kind });
        at = at + Span::from_millis(random.u64(1_300..9_000));
    }
    (score, Span::from_secs(3600))
}

/// Every sample of the hour is either silence or exactly the tone begun in the frame
/// `round(ms * rate / 1000)`, worked in exact integers here.
#[test]
fn every_onset_of_an_hour_stands_in_its_frame() {
    let (score, total) = hour();
    assert!((650..750).contains(&score.len()), "{}", score.len());
    for rate in [44_100, 48_000] {
        let palette = Palette::at(SampleRate::hertz(rate));
        let onset = |s: &Signal| (s.at.millis() as usize * rate as usize * 2 + 1000) / 2000;
        let mut rendering = render(&score, total, SampleRate::hertz(rate));
        assert_eq!(
            rendering.len(),
            rate as usize * 3600 + palette.tone(SignalKind::End).len()
        );
        let (mut place, mut begun) = (0, 0);
        while let Some(block) = rendering.next_block() {
            let end = place + block.len();
            let mut wanted = vec![0.0; block.len()];
            while score.get(begun).is_some_and(|s| onset(s) < end) {
                begun += 1;
            }
            if let Some(signal) = begun.checked_sub(1).map(|last| &score[last]) {
                let (from, tone) = (onset(signal), palette.tone(signal.kind));
                let (a, b) = (from.max(place), (from + tone.len()).min(end));
                if a < b {
                    wanted[a - place..b - place].copy_from_slice(&tone[a - from..b - from]);
                }
            }
            assert!(block == wanted, "frames from {place} at {rate} Hz");
            place = end;
        }
        assert_eq!(begun, score.len());
    }
}

#[test]
fn the_iterator_gives_the_same_samples_as_the_blocks() {
    let score = [(0, SignalKind::Go), (1_234, SignalKind::End)].map(|(at, kind)| Signal {
        at: Offset::from_millis(at),
        kind,
    });
    let rate = SampleRate::hertz(8_000);
    let by_sample: Vec<f32> = render(&score, Span::from_secs(2), rate).collect();
    let mut by_block = Vec::new();
    let mut rendering = render(&score, Span::from_secs(2), rate);
    while let Some(block) = rendering.next_block() {
        by_block.extend_from_slice(block);
    }
    assert_eq!(by_sample, by_block);
    assert!(by_sample.iter().any(|&sample| sample != 0.0));
}
