//! The figures that the rules go by, each with its source.
//!
//! Where no figure was published the threshold is a teacher's judgement and says so.

pub(super) use super::super::effort::VIGOROUS;
use crate::plan::LONG_TO_EXPLAIN;
use crate::time::Span;

/// Where a threshold has no published source.
pub(super) const PRACTICE: &str = "common practice, no source";

/// Warm-up and cool-down: 5 to 10 minutes each.
pub(super) const FRAME: Span = Span::from_secs(300);
/// Where `FRAME` comes from.
pub(super) const FRAME_SOURCE: &str = "ACSM: 5 to 10 min each, from a secondary text";
/// A class whose main part is shorter is a taster, and its frame is only noted.
pub(super) const TASTER: Span = Span::from_secs(15 * 60);

/// The main part of a class.
pub(super) const MAIN: (Span, Span) = (Span::from_secs(20 * 60), Span::from_secs(60 * 60));
/// Where `MAIN` comes from.
pub(super) const MAIN_SOURCE: &str = "ACSM: 20 to 60 min, from a secondary text";

/// Bouts of work in interval training.
pub(super) const BOUT: (Span, Span) = (Span::from_secs(5), Span::from_secs(8 * 60));
/// Where `BOUT` comes from.
pub(super) const BOUT_SOURCE: &str = "ACSM information sheet on interval training: 5 s to 8 min";

/// Hard work twice as long as its rests is published for so long at a time.
pub(super) const DENSE: Span = Span::from_secs(4 * 60);
/// Where `DENSE` comes from.
pub(super) const DENSE_SOURCE: &str =
    "Tabata et al. 1996, MSSE 28(10):1327; Emberts et al. 2013, J Sports Sci Med 12:612";

/// Vigorous works so long are published with a recovery of their own behind each.
pub(super) const LONG_WORK: Span = Span::from_secs(120);
/// The shortest of these recoveries, in hundredths of the work: 2 min after 5 (10-20-30).
pub(super) const RECOVERY: u64 = 40;
/// Where `RECOVERY` comes from.
pub(super) const RECOVERY_SOURCE: &str = "Gunnarsson & Bangsbo 2012, J Appl Physiol 113:16: 2 min after 5; Helgerud et al. 2007, MSSE 39(4):665: 3 min after 4";

/// Where `VIGOROUS` comes from.
pub(super) const VIGOROUS_SOURCE: &str = "ACSM: light 2.0 to 2.9, moderate 3.0 to 5.9, vigorous 6.0 MET and more; costs from the Adult Compendium";

/// The order that lets one region recover while another works.
pub(super) const ORDER_SOURCE: &str =
    "Klika & Jordan 2013, ACSM Health Fit J 17(3): total, lower, upper, core in turn";

/// Getting up from the floor: mean and two standard deviations.
pub(super) const RISE_SOURCE: &str = "Bohannon & Lusardi 2004: floor to stand 4.1 s, SD 1.1 s; `change`, `shift` and `fetch` of the cueing are inferred from it";

/// The preview of a move ends so early.
pub(super) const LEAD_SOURCE: &str =
    "ACSM group-instructor study material: a cue comes 4 to 8 counts before the change";

/// Less than so much of its lead missing, and a preview is hardly late (common practice, no source).
pub(super) const HARDLY_LATE: Span = Span::from_secs(1);

/// How fast words are said.
pub(super) const SPEECH_SOURCE: &str =
    "Lucas, The Art of Public Speaking: 125 to 150 words a minute";

/// How many things are kept in mind at once, and the moves of a list from which it is told.
pub(super) const LIST: usize = 5;
/// Where `LIST` comes from.
pub(super) const LIST_SOURCE: &str =
    "Cowan 2001, Behav Brain Sci 24:87: about four things at once; from memory";

/// People who stand and listen for longer go cold (common practice, no source).
pub(super) const LONG_TALK: Span = LONG_TO_EXPLAIN;

/// A pause so long ends a run of works.
pub(super) const BREAKS_RUN: Span = Span::from_secs(30);

/// Works on end that load a small joint, and their time.
pub(super) const SMALL_JOINT: (usize, Span) = (3, Span::from_secs(90));
/// The same of hips, knees and ankles, which every move on the feet loads.
pub(super) const LARGE_JOINT: (usize, Span) = (4, Span::from_secs(150));

/// Works with both feet off the floor on end, and their time.
pub(super) const IMPACT: (usize, Span) = (2, Span::from_secs(60));
/// From here on it is more than a note.
pub(super) const IMPACT_LONG: (usize, Span) = (3, Span::from_secs(90));
/// What a landing is.
pub(super) const IMPACT_SOURCE: &str =
    "Ricard & Veatch 1994: airborne steps land with 1.96 to 2.62 body weights";

/// On another version for so long on end, somebody may as well have another place.
pub(super) const POSTURE: Span = Span::from_secs(60);

/// Held so long, a moving option is wanted.
pub(super) const HOLD: Span = Span::from_secs(45);
/// What holding does.
pub(super) const HOLD_SOURCE: &str = "PMC5882444: held wall squats drove diastolic pressure over 115 mmHg in 12 of 26 men; the time is common practice, no source";

/// The least time a side.
pub(super) const A_SIDE: Span = Span::from_secs(10);
/// The least time of a step of a warm-up or cool-down, once people are in place.
pub(super) const A_STEP: Span = Span::from_secs(15);

/// Stretches are held so long.
pub(super) const STRETCH_SOURCE: &str =
    "Garber et al. 2011, from a secondary text: a stretch is held 10 to 30 s";

/// Work on end without a pause to drink in.
pub(super) const WATER: Span = Span::from_secs(15 * 60);
/// What a sip takes, with the way to the bottle.
pub(super) const SIP: Span = Span::from_secs(20);

/// What clearing mats and weights takes.
pub(super) const CLEAR: Span = Span::from_secs(90);
/// Time in hand that a class hardly needs.
pub(super) const IN_HAND: Span = Span::from_secs(6 * 60);

/// A move is learnt in at least so much time.
pub(super) const LEARN: Span = Span::from_secs(20);
/// Up to here a first time is worth a note.
pub(super) const LEARN_NOTE: Span = Span::from_secs(30);

/// Changes between standing and the floor, one in so much of the main part.
pub(super) const LEVELS: Span = Span::from_secs(120);
/// So few are told by nobody.
pub(super) const FEW_LEVELS: usize = 2;

/// What is asked before class.
pub(super) const SCREENING_SOURCE: &str =
    "ACSM GETP10: activity, known disease or symptoms, intended intensity";
/// Who may stop.
pub(super) const STOP_SOURCE: &str =
    "ACSM test-termination lists, from a secondary text: the person asks to stop";
