//! Tags against labels: precision, recall, confusion and timing.
