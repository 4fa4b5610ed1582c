//! Where each sample came from, a few bytes a run of rows.

/// Where each sample came from: runs of samples whose rows follow each other.
#[derive(Debug, Default)]
pub(super) struct Origins {
    runs: Vec<Run>,
}

#[derive(Debug)]
struct Run {
    first_sample: u32,
    file: u32,
    row: u64,
    /// Rows a sample: 1 in the long form, 0 where one row holds many.
    step: u64,
}

impl Origins {
    #[inline]
    pub(super) fn push(&mut self, sample: u32, file: u32, row: u64) {
        if let Some(run) = self.runs.last_mut()
            && run.file == file
        {
            let after = u64::from(sample - run.first_sample);
            if run.row + after * run.step == row {
                return;
            }
            // The second sample of a run shows its step.
            if after == 1 && row == run.row {
                run.step = 0;
                return;
            }
        }
        self.runs.push(Run {
            first_sample: sample,
            file,
            row,
            step: 1,
        });
    }

    pub(super) fn of(&self, sample: u32) -> (u32, u64) {
        let after = self.runs.partition_point(|run| run.first_sample <= sample);
        match self.runs[..after].last() {
            Some(run) => (
                run.file,
                run.row + u64::from(sample - run.first_sample) * run.step,
            ),
            None => (0, 0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sample_is_found_again_whatever_the_steps() {
        // Long rows, a refused row between, a wide row of three, the next file.
        let places = [
            (0, 2),
            (0, 3),
            (0, 5),
            (0, 6),
            (0, 9),
            (0, 9),
            (0, 9),
            (1, 9),
            (1, 10),
        ];
        let mut origins = Origins::default();
        for (sample, (file, row)) in (0u32..).zip(places) {
            origins.push(sample, file, row);
        }
        for (sample, expected) in (0u32..).zip(places) {
            assert_eq!(origins.of(sample), expected, "sample {sample}");
        }
    }
}
