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
        let all = numbers.filter(|number| number.is_finite());
        let (low, high) =
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(one), high.max(one)));
        let (low, high) = if low > high { (0.0, 1.0) } else { (low, high) };
        let (low, high) = if high > low { (low, high) } else { (low - 0.5, high + 0.5) };
        let step = round_step((high - low) / f64::from(ticks.max(1)));
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
    }

    /// Where a number stands, 0 at the first and 1 at the last.
    pub(crate) fn fraction(&self, number: f64) -> f64 {
        (number - self.low) / (self.high - self.low)
    }

    /// The round numbers on it, ends included.
    pub(crate) fn ticks(&self) -> impl Iterator<Item = f64> + use<> {
        let (low, high, step) = (self.low, self.high, self.step);
        let count = ((high - low) / step).round();
        let places =
            std::iter::successors(Some(0.0), |place| Some(place + 1.0)).take_while(move |place| *place <= count);
        // Back onto the decimal grid: 3 × 0.1 is not 0.3.
        places.map(move |place| ((low / step).round() + place) * step)
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
