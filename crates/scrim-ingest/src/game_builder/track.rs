//! One entity's samples of a period, as they come in.

use std::sync::Arc;

use scrim_tables::tags::RefusalReason;
use scrim_tracks::RawTrack;

/// A sample refused after all are known: its number, why, and the words.
pub(super) type Late = (u32, RefusalReason, Arc<str>);

/// One entity's samples; `time` is in the source's unit, `sample` numbers them within the game.
#[derive(Debug, Default, Clone)]
pub(super) struct OpenTrack {
    pub time: Vec<f64>,
    pub x_m: Vec<f32>,
    pub y_m: Vec<f32>,
    /// Empty as long as none has a height, then one a sample.
    pub z_m: Vec<f32>,
    pub sample: Vec<u32>,
    pub out_of_order: bool,
}

impl OpenTrack {
    /// Makes room for so many samples.
    pub(super) fn make_room(&mut self, samples: usize) {
        self.time.reserve(samples);
        for places in [&mut self.x_m, &mut self.y_m] {
            places.reserve(samples);
        }
        self.sample.reserve(samples);
    }

    /// Takes the height of the sample that comes after those that it has; NaN where it has none.
    #[inline]
    pub(super) fn push_height(&mut self, z_m: f32) {
        if self.z_m.is_empty() {
            if z_m.is_nan() {
                return;
            }
            self.z_m.reserve(self.x_m.capacity());
            self.z_m.resize(self.time.len(), f32::NAN);
        }
        self.z_m.push(z_m);
    }

    /// The height of a sample; NaN where it has none.
    fn height(&self, at: usize) -> f32 {
        self.z_m.get(at).copied().unwrap_or(f32::NAN)
    }

    pub(super) fn put_in_order(&mut self) {
        if !self.out_of_order || self.time.is_sorted() {
            return;
        }
        let mut order: Vec<usize> = (0..self.time.len()).collect();
        order.sort_by(|&a, &b| {
            self.time[a]
                .total_cmp(&self.time[b])
                .then(self.sample[a].cmp(&self.sample[b]))
        });
        self.keep(&order);
    }

    pub(super) fn keep(&mut self, rows: &[usize]) {
        self.time = rows.iter().map(|&i| self.time[i]).collect();
        self.x_m = rows.iter().map(|&i| self.x_m[i]).collect();
        self.y_m = rows.iter().map(|&i| self.y_m[i]).collect();
        if !self.z_m.is_empty() {
            self.z_m = rows.iter().map(|&i| self.z_m[i]).collect();
        }
        self.sample = rows.iter().map(|&i| self.sample[i]).collect();
    }

    /// Refuses the samples whose time is more than `most` from `middle`.
    pub(super) fn refuse_far_from(&mut self, middle: f64, most: f64, per_s: f64, late: &mut Vec<Late>) {
        let far = |t: f64| (t - middle).abs() > most;
        if self.time.iter().all(|&t| !far(t)) {
            return;
        }
        for (i, &time) in self.time.iter().enumerate().filter(|(_, t)| far(**t)) {
            let detail = format!(
                "time {time} is {} s from the middle of its period; expected at most {} s; check the period, and \
                 [time] unit",
                (time - middle).abs() / per_s,
                most / per_s
            );
            late.push((self.sample[i], RefusalReason::BadTime, detail.into()));
        }
        let near: Vec<usize> = (0..self.time.len()).filter(|&i| !far(self.time[i])).collect();
        self.keep(&near);
    }

    /// Keeps the first of several rows at an instant. The others are counted; those at another place are refused.
    pub(super) fn drop_repeats(&mut self, per_s: f64, late: &mut Vec<Late>) -> u32 {
        let mut keep: Vec<usize> = Vec::with_capacity(self.time.len());
        let mut repeats = 0;
        for i in 0..self.time.len() {
            let Some(&last) = keep.last().filter(|&&last| self.time[last] == self.time[i]) else {
                keep.push(i);
                continue;
            };
            repeats += 1;
            // Heights that are both known, and differ.
            let heights = self.height(last).partial_cmp(&self.height(i));
            let other_height = heights.is_some_and(std::cmp::Ordering::is_ne);
            if (self.x_m[last], self.y_m[last]) != (self.x_m[i], self.y_m[i]) || other_height {
                let detail = format!(
                    "the same entity at the same instant ({} s) at another place, ({}, {}) m; expected one place an \
                     instant: the first row's, ({}, {}) m, counts",
                    self.time[i] / per_s,
                    self.x_m[i],
                    self.y_m[i],
                    self.x_m[last],
                    self.y_m[last]
                );
                late.push((self.sample[i], RefusalReason::Duplicate, detail.into()));
            }
        }
        if repeats > 0 {
            self.keep(&keep);
        }
        repeats
    }

    /// Makes its times seconds from `zero`.
    pub(super) fn count_from(&mut self, zero: f64, per_s: f64) {
        if zero != 0.0 || per_s != 1.0 {
            for t in &mut self.time {
                *t = (*t - zero) / per_s;
            }
        }
    }

    pub(super) fn finish<W>(self, who: W) -> RawTrack<W> {
        RawTrack {
            who,
            t_s: self.time,
            x_m: self.x_m,
            y_m: self.y_m,
            z_m: self.z_m,
        }
    }
}
