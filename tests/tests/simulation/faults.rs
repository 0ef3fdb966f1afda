//! False alarms.
