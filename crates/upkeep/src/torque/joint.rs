//! Torque and preload of a bolted joint, forward and back. No figure of a manual is altered here.
//!
//! ```text
//! T = F · ( P/2π  +  μG·d2/(2 cos 30°)  +  μK·D/2 )  + running torque
//!          stretch    thread friction      head friction
//! ```

use std::f64::consts::PI;

use measure::{Force, Length, Torque};

use super::{PropertyClass, Thread};

/// Half of the angle between the flanks of a metric thread, in degrees.
const FLANK_DEG: f64 = 30.0;

fn flank_cos() -> f64 {
    FLANK_DEG.to_radians().cos()
}

/// Friction of a joint, and where its head or nut rubs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// Of the thread.
    pub thread: f64,
    /// Under the head or nut.
    pub head: f64,
    /// Mean friction diameter under the head or nut.
    pub contact: Length,
}

/// What a torque is spent on, as lever arms of the preload.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Split {
    /// Stretching the bolt.
    pub stretch: Length,
    /// Rubbing in the thread.
    pub thread: Length,
    /// Rubbing under the head.
    pub head: Length,
}

impl Split {
    /// The arms of a thread with its friction.
    ///
    /// # Formula
    /// P/2π, μG·d2/(2 cos 30°), μK·D/2: the linear form with unrounded coefficients. The exact flank form differs by
    /// less than 1 % tightening and 2 % loosening.
    ///
    /// # Source
    /// vdi-2230.
    #[must_use]
    pub fn of(thread: &Thread, friction: &Friction) -> Self {
        Self {
            stretch: thread.pitch() / (2.0 * PI),
            thread: thread.pitch_diameter() * friction.thread / (2.0 * flank_cos()),
            head: friction.contact * friction.head / 2.0,
        }
    }

    /// The arm of tightening.
    #[must_use]
    pub fn tightening(&self) -> Length {
        self.stretch + self.thread + self.head
    }

    /// The arm of loosening: the stretch now helps.
    #[must_use]
    pub fn loosening(&self) -> Length {
        self.thread + self.head - self.stretch
    }
}

fn over_arm(preload: Force, arm: Length) -> Torque {
    Torque::from_nm(preload.n() * arm.m())
}

/// The tightening of a joint to a preload.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightening {
    /// Torque that reaches the preload.
    pub torque: Torque,
    /// Torque that loosens it again.
    pub loosening: Torque,
    /// Torque without running torque, over preload and diameter.
    pub nut_factor: f64,
    /// Share of the torque (running torque left out) that stretches the bolt.
    pub stretch_pct: f64,
    /// Share that rubs in the thread.
    pub thread_pct: f64,
    /// Share that rubs under the head.
    pub head_pct: f64,
}

impl Tightening {
    /// From the preload wanted.
    ///
    /// # Formula
    /// T = F · arm + running; K = arm / d
    ///
    /// # Source
    /// vdi-2230.
    #[must_use]
    pub fn to(preload: Force, thread: &Thread, friction: &Friction, running: Torque) -> Self {
        let split = Split::of(thread, friction);
        let arm = split.tightening();
        Self {
            torque: over_arm(preload, arm) + running,
            loosening: over_arm(preload, split.loosening()) + running,
            nut_factor: arm / thread.diameter(),
            stretch_pct: 100.0 * (split.stretch / arm),
            thread_pct: 100.0 * (split.thread / arm),
            head_pct: 100.0 * (split.head / arm),
        }
    }
}

/// Torque by the short form.
///
/// # Formula
/// T = K · d · F + running
#[must_use]
pub fn nut_factor_torque(preload: Force, diameter: Length, nut_factor: f64, running: Torque) -> Torque {
    over_arm(preload, diameter * nut_factor) + running
}

/// Preload by the short form.
///
/// # Formula
/// F = (T − running) / (K · d)
#[must_use]
pub fn nut_factor_preload(torque: Torque, diameter: Length, nut_factor: f64, running: Torque) -> Force {
    Force::from_n((torque - running).nm() / (diameter * nut_factor).m())
}

/// Standard uncertainty of that preload, in per cent: first-order propagation of the errors of torque and nut factor.
///
/// # Formula
/// u = √((uT · T/(T − running))² + uK²)
///
/// The wrench errs by a share of the whole torque, but only what the running torque leaves pulls the bolt.
#[must_use]
pub fn nut_factor_preload_u_pct(torque: Torque, running: Torque, torque_u_pct: f64, factor_u_pct: f64) -> f64 {
    (torque_u_pct * (torque.nm() / (torque - running).nm())).hypot(factor_u_pct)
}

/// Preload at which tension and torsion together use up a share of the yield strength.
///
/// # Formula
/// F = As·ν·Rp / √(1 + 3·[1.5·(d2/d0)·(P/(π d2) + μG/cos 30°)]²), d0 = (d2 + d3)/2
///
/// # Source
/// vdi-2230.
#[must_use]
pub fn yield_limited_preload(thread: &Thread, yield_mpa: f64, share: f64, friction_thread: f64) -> Force {
    let lead = thread.pitch() / (thread.pitch_diameter() * PI);
    let torsion = 1.5 * (thread.pitch_diameter() / thread.stress_diameter()) * (lead + friction_thread / flank_cos());
    Force::from_n(thread.stress_area_mm2() * share * yield_mpa / (1.0 + 3.0 * torsion.powi(2)).sqrt())
}

/// The preload that a torque can leave behind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// With the wrench reading high and the highest friction.
    pub low: Force,
    /// With the wrench reading low and the lowest friction.
    pub high: Force,
}

impl Band {
    /// From a torque, a band of friction and the error of the wrench as a share of its reading.
    ///
    /// # Formula
    /// low = ((1 − w)·T − running) / arm(high friction), high = ((1 + w)·T − running) / arm(low friction)
    ///
    /// # Source
    /// vdi-2230.
    #[must_use]
    pub fn of(torque: Torque, running: Torque, thread: &Thread, friction: [Friction; 2], wrench_share: f64) -> Self {
        let [least, most] = friction.map(|friction| Split::of(thread, &friction).tightening());
        let over = |torque: Torque, arm: Length| Force::from_n((torque - running).nm() / arm.m());
        Self { low: over(torque * (1.0 - wrench_share), most), high: over(torque * (1.0 + wrench_share), least) }
    }

    /// High over low: the tightening factor.
    #[must_use]
    pub fn scatter(&self) -> f64 {
        self.high / self.low
    }
}

impl PropertyClass {
    /// Load of a thread at a stress.
    #[must_use]
    pub fn load(thread: &Thread, stress_mpa: f64) -> Force {
        Force::from_n(thread.stress_area_mm2() * stress_mpa)
    }

    /// Proof load of a thread; `None` where the class is not made so large.
    #[must_use]
    pub fn proof_load(self, thread: &Thread) -> Option<Force> {
        self.strength(thread.diameter()).map(|strength| Self::load(thread, strength.proof_mpa))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joint() -> (Thread, Friction) {
        let thread = Thread::new(Length::from_mm(8.0), None).expect("coarse");
        (thread, Friction { thread: 0.12, head: 0.14, contact: Length::from_mm(10.3) })
    }

    #[test]
    fn the_shares_of_a_torque_add_up_to_all_of_it() {
        let (thread, friction) = joint();
        let tightening = Tightening::to(Force::from_n(15_000.0), &thread, &friction, Torque::from_nm(3.0));
        let sum = tightening.stretch_pct + tightening.thread_pct + tightening.head_pct;
        assert!((sum - 100.0).abs() < 1e-9);
        assert!(tightening.loosening < tightening.torque);
    }

    #[test]
    fn a_band_without_scatter_gives_back_the_preload_that_made_the_torque() {
        let (thread, friction) = joint();
        let (preload, running) = (Force::from_n(15_000.0), Torque::from_nm(2.0));
        let torque = Tightening::to(preload, &thread, &friction, running).torque;
        let band = Band::of(torque, running, &thread, [friction, friction], 0.0);
        assert!((band.low - preload).abs().n() < 1e-6 && (band.scatter() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_nut_factor_form_is_inverted_by_its_own_preload() {
        let (diameter, running) = (Length::from_mm(10.0), Torque::from_nm(1.5));
        let torque = nut_factor_torque(Force::from_n(20_000.0), diameter, 0.16, running);
        assert!((nut_factor_preload(torque, diameter, 0.16, running).n() - 20_000.0).abs() < 1e-6);
    }

    #[test]
    fn a_running_torque_makes_the_wrench_count_for_more() {
        let u = |running| nut_factor_preload_u_pct(Torque::from_nm(40.0), Torque::from_nm(running), 4.0, 10.0);
        assert!((u(0.0) - 116_f64.sqrt()).abs() < 1e-12);
        assert!((u(20.0) - 164_f64.sqrt()).abs() < 1e-12, "half the torque is left: the error counts twice");
    }

    #[test]
    fn the_preload_at_nine_tenths_of_yield_is_that_of_the_printed_table() {
        // Assembly preloads of shank bolts of class 8.8 at a thread friction of 0.12, in kN, as the guideline prints them.
        for (size, preload) in [(6.0, 10.2), (8.0, 18.6), (10.0, 29.6), (12.0, 43.0)] {
            let thread = Thread::new(Length::from_mm(size), None).expect("coarse");
            let found = yield_limited_preload(&thread, 640.0, 0.9, 0.12).n() / 1000.0;
            assert!((found / preload - 1.0).abs() < 3e-3, "M{size}: {found}");
        }
    }

    #[test]
    fn a_torque_is_the_sum_of_what_stretches_and_what_rubs() {
        let (thread, friction) = joint();
        let (load, running) = (12_000.0, 1.5);
        let found = Tightening::to(Force::from_n(load), &thread, &friction, Torque::from_nm(running));
        let stretch = load * 1.25e-3 / (2.0 * PI);
        let thread_part = load * 0.12 * thread.pitch_diameter().mm() / 1000.0 / (3.0_f64.sqrt());
        let head = load * 0.14 * 10.3e-3 / 2.0;
        let sum = stretch + thread_part + head;
        let close = |found: f64, want: f64| assert!((found / want - 1.0).abs() < 1e-12, "{found} {want}");
        close(found.torque.nm(), sum + running);
        close(found.loosening.nm(), thread_part + head - stretch + running);
        close(found.nut_factor, sum / load / 8e-3);
        close(found.stretch_pct, 100.0 * stretch / sum);
        close(found.thread_pct, 100.0 * thread_part / sum);
        close(found.head_pct, 100.0 * head / sum);
        close(
            nut_factor_torque(Force::from_n(load), thread.diameter(), 0.2, Torque::from_nm(running)).nm(),
            0.2 * 8e-3 * load + running,
        );
        close(nut_factor_preload(Torque::from_nm(25.5), thread.diameter(), 0.2, Torque::from_nm(1.5)).n(), 15_000.0);
    }

    #[test]
    fn a_band_runs_from_the_weak_wrench_on_rough_threads_to_the_strong_one_on_slippery_ones() {
        let (thread, friction) = joint();
        let rough = Friction { thread: 0.2, head: 0.25, ..friction };
        let band = Band::of(Torque::from_nm(25.0), Torque::from_nm(2.0), &thread, [friction, rough], 0.06);
        let arm = |friction: &Friction| Split::of(&thread, friction).tightening().m();
        assert!((band.low.n() - (0.94 * 25.0 - 2.0) / arm(&rough)).abs() < 1e-6);
        assert!((band.high.n() - (1.06 * 25.0 - 2.0) / arm(&friction)).abs() < 1e-6);
        assert!((band.scatter() - band.high.n() / band.low.n()).abs() < 1e-12);
    }
}
