//! How long anything waits.

use std::time::Duration;

/// How long a page waits at most before it looks at the hour and the loudspeaker again.
pub(super) const LOOK: Duration = Duration::from_secs(1);
/// How long leaving waits for the disk.
pub(super) const FINISH: Duration = Duration::from_secs(3);
