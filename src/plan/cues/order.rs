//! The order in which things are said.

pub(super) const LEFT: u8 = 10;
pub(super) const LAST: u8 = 20;
pub(super) const FORM: u8 = 30;
pub(super) const HARDER: u8 = 40;
pub(super) const RECOVERY: u8 = 80;
pub(super) const COMING: u8 = 90;
/// A recovery after work that is counted, not timed.
pub(super) const LATE: u8 = 95;
pub(super) const WRITTEN: u8 = 101;
pub(super) const BRIEF: u8 = 102;
pub(super) const BRING: u8 = 103;
/// The stations before the start, in the order in which people stand.
pub(super) const EXPLAIN: u8 = 104;
pub(super) const PREVIEW: u8 = 111;
pub(super) const SETUP: u8 = 112;
pub(super) const LIMIT: u8 = 113;
pub(super) const NOTE: u8 = 114;
pub(super) const OPTION: u8 = 115;
/// What is written for a pause that comes after the preview.
pub(super) const WRITTEN_LAST: u8 = 116;
/// The bare name, shortly before the start.
pub(super) const NAME: u8 = 117;
