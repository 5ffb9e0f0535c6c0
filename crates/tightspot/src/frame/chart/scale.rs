//! From numbers to a fraction of the axis, with ticks at round numbers.

/// A stretch of numbers that an axis shows; never empty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Its first number.
    pub(crate) low: f64,
    /// Its last number.
    pub(crate) high: f64,
    step: f64,
}

impl Scale {
    /// The stretch that holds all numbers, widened to round ends with about `ticks` steps between them.
    pub(crate) fn over(numbers: impl Iterator<Item = f64>, ticks: u32) -> Self {
        let Self { low, high, step } = Self::just(numbers, ticks);
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
    }

    /// The stretch from the least to the greatest number, with about `ticks` round numbers inside.
    pub(crate) fn just(numbers: impl Iterator<Item = f64>, ticks: u32) -> Self {
        let all = numbers.filter(|number| number.is_finite());
        let (low, high) =
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(one), high.max(one)));
        let (low, high) = if low > high { (0.0, 1.0) } else { (low, high) };
        let (low, high) = if high > low { (low, high) } else { (low - 0.5, high + 0.5) };
        Self { low, high, step: round_step((high - low) / f64::from(ticks.max(1))) }
    }

    /// The same where things are counted along it: a tick at each of a few, and never between two.
    pub(crate) fn counted(self) -> Self {
        let few = self.high - self.low <= 8.0;
        Self { step: if few { 1.0 } else { self.step.ceil() }, ..self }
    }

    /// Where a number stands, 0 at the first and 1 at the last.
    pub(crate) fn fraction(&self, number: f64) -> f64 {
        (number - self.low) / (self.high - self.low)
    }

    /// The round numbers on it.
    pub(crate) fn ticks(&self) -> impl Iterator<Item = f64> + use<> {
        let step = self.step;
        // A hair of tolerance: 0.6 / 0.2 is not quite 3.
        let (first, last) = ((self.low / step - 1e-9).ceil(), (self.high / step + 1e-9).floor());
        let counts = std::iter::successors(Some(first), |count| Some(count + 1.0));
        counts.take_while(move |count| *count <= last).map(move |count| count * step)
    }

    /// Decimals that tell one tick from the next.
    pub(crate) fn decimals(&self) -> usize {
        (0..6)
            .find(|decimals| is_whole(self.step * 10_f64.powi(*decimals)))
            .map_or(6, |found| usize::try_from(found).unwrap_or(6))
    }
}

fn is_whole(number: f64) -> bool {
    (number - number.round()).abs() < 1e-6
}

/// The round number (1, 2, 2.5 or 5 times a power of ten) that is just not below a step.
fn round_step(step: f64) -> f64 {
    let power = 10_f64.powf(step.log10().floor());
    let lead = step / power;
    let round = [1.0, 2.0, 2.5, 5.0].into_iter().find(|round| *round >= lead - 1e-9).unwrap_or(10.0);
    round * power
}
