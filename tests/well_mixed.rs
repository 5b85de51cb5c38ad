//! The well-mixed room against a general solver of differential equations and against what must hold of any room:
//! mass conserved, more air never a higher peak, releases add, the limits as time goes on. No published figures here.
#![allow(
    clippy::float_arithmetic,
    clippy::panic,
    reason = "tests of the physics"
)]
#![allow(clippy::unwrap_used)]

use ode_solvers::dop_shared::OutputType;
use ode_solvers::{Dop853, System, Vector3};
use proptest::prelude::{
    Just, ProptestConfig, Strategy, any, prop, prop_assert, prop_assume, prop_oneof, proptest,
};
use proptest::test_runner::TestCaseError;
use sandarac::vapour::history::{Highest, History};
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

/// Air, film and area under the air, all per m³, with what is fed to the film or straight to the air.
struct Box3 {
    changes: f64,
    rate: f64,
    fed: f64,
    straight: f64,
}

impl System<f64, Vector3<f64>> for Box3 {
    fn system(&self, _t: f64, y: &Vector3<f64>, dy: &mut Vector3<f64>) {
        dy[0] = self.straight + self.rate * y[1] - self.changes * y[0];
        dy[1] = self.fed - self.rate * y[1];
        dy[2] = y[0];
    }
}

/// Level and area of one release at a moment after it began, by the solver.
fn solved(room: &WellMixedRoom, release: &Release, minutes: f64) -> (f64, f64) {
    let load = release.mass / room.volume();
    let at_once = release.drying == 0.0;
    let rate = if at_once { 0.0 } else { release.drying.recip() };
    let changes = room.changes_per_hour() / 60.0;
    let (mut state, mut since) = (Vector3::new(0.0, 0.0, 0.0), 0.0);
    let mut feed = 0.0;
    if release.minutes > 0.0 {
        feed = load / release.minutes;
    } else if at_once {
        state[0] = load;
    } else {
        state[1] = load;
    }
    for (end, feed) in [(release.minutes.min(minutes), feed), (minutes, 0.0)] {
        if end > since {
            let (fed, straight) = if at_once { (0.0, feed) } else { (feed, 0.0) };
            let system = Box3 {
                changes,
                rate,
                fed,
                straight,
            };
            let step = (end - since) / 10.0;
            let mut solver = Dop853::new(
                system,
                0.0,
                end - since,
                step,
                state,
                1.0e-11,
                1.0e-13 * load,
            );
            solver.set_output(OutputType::Sparse);
            solver.integrate().unwrap();
            assert!((solver.x_out().last().unwrap() - (end - since)).abs() < 1.0e-9);
            state = *solver.y_out().last().unwrap();
            since = end;
        }
    }
    (state[0], state[2])
}

/// The worst window of all; after so long, whatever is left in the air changes no more.
fn worst_mean(history: &History, window: f64) -> Option<Highest> {
    let end = history.last_event() + 1.0e5 + window;
    history.worst_mean_ending(window, history.first(), end)
}

/// What the film of a release still holds at a moment, mg: put on evenly, it dries from its first minute.
fn in_film(release: &Release, at: f64) -> f64 {
    let since = at - release.start;
    if release.drying == 0.0 || since <= 0.0 {
        return 0.0;
    }
    let rate = release.drying.recip();
    if release.minutes == 0.0 {
        return release.mass * (-rate * since).exp();
    }
    let worked = since.min(release.minutes);
    let at_the_end = release.mass / release.minutes / rate * -(-rate * worked).exp_m1();
    at_the_end * (-rate * (since - worked)).exp()
}

fn releases(most: usize) -> impl Strategy<Value = Vec<Release>> {
    let drying = prop_oneof![Just(0.0), 1.0..200.0_f64, Just(20.0)];
    let minutes = prop_oneof![Just(0.0), 0.1..300.0_f64];
    let one = (0.0..2000.0_f64, minutes, 1.0..1.0e6_f64, drying).prop_map(
        |(start, minutes, mass, drying)| Release {
            start,
            minutes,
            mass,
            drying,
        },
    );
    prop::collection::vec(one, 1..=most)
}
fn rooms() -> impl Strategy<Value = WellMixedRoom> {
    let air = prop_oneof![Just(0.0), 1.0..2000.0_f64];
    // 150 m³ at 450 m³/h and K 1 is one change in 20 min: the same rate as the film that dries in 20 min
    let usual = (10.0..500.0_f64, air, 1.0..10.0_f64)
        .prop_map(|(volume, air, mixing)| WellMixedRoom::new(volume, air, mixing).unwrap());
    prop_oneof![3 => usual, 1 => Just(WellMixedRoom::new(150.0, 450.0, 1.0).unwrap())]
}

fn close(ours: f64, theirs: f64, share: f64, floor: f64) -> Result<(), TestCaseError> {
    let apart = (ours - theirs).abs();
    prop_assert!(
        apart <= share * ours.abs().max(theirs.abs()) + floor,
        "{ours} against {theirs}"
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn one_release_is_what_a_general_solver_finds(room in rooms(), release in releases(1), later in 0.1..600.0_f64) {
        let history = History::new(&room, &release).unwrap();
        let release = release[0];
        let (level, area) = solved(&room, &release, later);
        let load = release.mass / room.volume();
        close(history.level_at(release.start + later).unwrap(), level, 1.0e-6, 1.0e-10 * load)?;
        close(history.mean(release.start, later).unwrap() * later, area, 1.0e-6, 1.0e-9 * load)?;
    }

    #[test]
    fn releases_add(room in rooms(), many in releases(8), at in -100.0..4000.0_f64) {
        let all = History::new(&room, &many).unwrap();
        let alone = |at: f64| many.iter().map(|one| {
            History::new(&room, std::slice::from_ref(one)).unwrap().level_at(at).unwrap()
        }).sum::<f64>();
        let scale: f64 = many.iter().map(|one| one.mass / room.volume()).sum();
        close(all.level_at(at).unwrap(), alone(at), 1.0e-9, 1.0e-11 * scale)?;
    }

    #[test]
    fn mass_is_conserved(room in rooms(), many in releases(8), at in 0.0..4000.0_f64) {
        let history = History::new(&room, &many).unwrap();
        let given: f64 = many.iter().map(|one| {
            let share = if one.minutes == 0.0 { if at >= one.start { 1.0 } else { 0.0 } }
                else { ((at - one.start) / one.minutes).clamp(0.0, 1.0) };
            one.mass * share / room.volume()
        }).sum();
        let in_films = many.iter().map(|one| in_film(one, at) / room.volume()).sum::<f64>();
        let from = history.first();
        prop_assume!(at > from);
        let gone = room.changes_per_hour() / 60.0 * history.mean(from, at - from).unwrap() * (at - from);
        let here = history.level_at(at).unwrap() + in_films;
        close(gone + here, given, 1.0e-9, 1.0e-9)?;
    }

    #[test]
    fn more_air_never_raises_a_peak_or_a_mean(
        many in releases(8),
        volume in 10.0..500.0_f64,
        air in 0.0..2000.0_f64,
        more in 0.0..500.0_f64,
    ) {
        let (less, more) = (WellMixedRoom::new(volume, air, 3.0).unwrap(), WellMixedRoom::new(volume, air + more, 3.0).unwrap());
        let (less, more) = (History::new(&less, &many).unwrap(), History::new(&more, &many).unwrap());
        prop_assert!(more.peak().level <= less.peak().level * (1.0 + 1.0e-9));
        for window in [15.0, 480.0] {
            let (more, less) = (worst_mean(&more, window).unwrap(), worst_mean(&less, window).unwrap());
            prop_assert!(more.level <= less.level * (1.0 + 1.0e-9));
        }
    }

    #[test]
    fn no_moment_is_above_the_peak_and_the_peak_is_reached(room in rooms(), many in releases(8)) {
        let history = History::new(&room, &many).unwrap();
        let peak = history.peak();
        close(history.level_at(peak.minute).unwrap(), peak.level, 1.0e-9, 0.0)?;
        let (from, to) = (history.first(), history.last_event() + 600.0);
        for step in 0..=20_000_u32 {
            let at = from + (to - from) * f64::from(step) / 20_000.0;
            prop_assert!(history.level_at(at).unwrap() <= peak.level * (1.0 + 1.0e-12));
        }
    }

    #[test]
    fn no_window_is_worse_than_the_worst(
        room in rooms(),
        many in releases(8),
        window in prop_oneof![Just(15.0), Just(480.0), 1.0..2000.0_f64],
    ) {
        let history = History::new(&room, &many).unwrap();
        let worst = worst_mean(&history, window).unwrap();
        prop_assert!(worst.level <= history.peak().level * (1.0 + 1.0e-9));
        close(history.mean(worst.minute, window).unwrap(), worst.level, 1.0e-9, 0.0)?;
        let (from, to) = (history.first() - window, history.last_event() + 600.0);
        let mut sampled = 0.0_f64;
        for step in 0..=5_000_u32 {
            let mean = history.mean(from + (to - from) * f64::from(step) / 5_000.0, window).unwrap();
            prop_assert!(mean <= worst.level * (1.0 + 1.0e-9), "{mean} over {}", worst.level);
            sampled = sampled.max(mean);
        }
        prop_assert!(sampled >= 0.8 * worst.level || room.changes_per_hour() == 0.0 || window < 60.0);
    }

    #[test]
    fn sessions_share_out_the_worst_window(room in rooms(), many in releases(8), cut in 0.0..3000.0_f64) {
        if room.changes_per_hour() == 0.0 {
            return Ok(());
        }
        let history = History::new(&room, &many).unwrap();
        let whole = worst_mean(&history, 480.0).unwrap().level;
        let early = history.worst_mean_ending(480.0, history.first(), history.first().max(cut)).unwrap().level;
        let late = history.worst_mean_ending(480.0, history.first().max(cut), 1.0e6).unwrap().level;
        close(early.max(late), whole, 1.0e-9, 0.0)?;
    }

    #[test]
    fn clear_means_clear_for_good(room in rooms(), many in releases(8), share in 0.001..0.9_f64) {
        let history = History::new(&room, &many).unwrap();
        let level = history.peak().level * share;
        match history.clear_from(level) {
            None => prop_assert!(room.changes_per_hour() == 0.0),
            Some(clear) => {
                prop_assert!(clear >= history.first());
                for later in 0..2000_u32 {
                    prop_assert!(history.level_at(clear + f64::from(later)).unwrap() <= level * (1.0 + 1.0e-9));
                }
                prop_assert!(history.level_at(clear - 1.0e-6 * clear.abs() - 1.0e-6).unwrap() >= level * (1.0 - 1.0e-3));
            }
        }
    }

    #[test]
    fn in_the_end_all_is_gone_or_all_is_in_the_air(room in rooms(), many in releases(8)) {
        let history = History::new(&room, &many).unwrap();
        let all: f64 = many.iter().map(|one| one.mass / room.volume()).sum();
        let end = history.level_at(history.last_event() + 1.0e7).unwrap();
        if room.changes_per_hour() == 0.0 { close(end, all, 1.0e-9, 0.0)?; } else { prop_assert!(end <= 1.0e-9 * all); }
    }

    #[test]
    fn nearly_equal_rates_are_no_cliff(off in -1.0e-6..1.0e-6_f64, at in 0.0..500.0_f64) {
        let room = WellMixedRoom::new(150.0, 450.0, 1.0).unwrap();
        let level = |drying: f64| {
            let one = Release { start: 0.0, minutes: 30.0, mass: 1.0e5, drying };
            let history = History::new(&room, &[one]).unwrap();
            (history.level_at(at).unwrap(), history.peak().level, worst_mean(&history, 480.0).unwrap().level)
        };
        let (same, near) = (level(20.0), level(20.0 * (1.0 + off)));
        close(same.0, near.0, 2.0e-5, 0.0)?;
        close(same.1, near.1, 2.0e-6, 0.0)?;
        close(same.2, near.2, 2.0e-6, 0.0)?;
    }

    #[test]
    fn nothing_but_numbers_leaves(
        numbers in (any::<f64>(), any::<f64>(), any::<f64>()),
        release in (any::<f64>(), any::<f64>(), any::<f64>(), any::<f64>()),
        tame in any::<bool>(), at in any::<f64>(), window in any::<f64>(),
    ) {
        let room = if tame { WellMixedRoom::new(50.0, 1.0e-200, 3.0) } else { WellMixedRoom::new(numbers.0, numbers.1, numbers.2) };
        let (start, minutes, mass, drying) = release;
        let odd = Release { start, minutes, mass, drying };
        let edge = Release { start: -1.0e8, minutes: 1.0e-300, mass: 1.0e12, drying: 0.001 };
        let Some(room) = room else { return Ok(()) };
        for many in [vec![odd], vec![edge], vec![edge, Release { start: 1.0e8, drying: 10_080.0, ..edge }]] {
            let Some(history) = History::new(&room, &many) else { continue };
            let peak = history.peak();
            let means = [15.0, 480.0, window].map(|w| worst_mean(&history, w).map(|m| m.level));
            let others = [history.level_at(at), history.mean(at, window), history.clear_from(mass)];
            for value in means.into_iter().chain(others).flatten().chain([peak.level, peak.minute]) {
                prop_assert!(value.is_finite());
            }
        }
    }
}

#[test]
fn a_long_steady_release_ends_at_the_steady_level() {
    let room = WellMixedRoom::new(100.0, 300.0, 3.0).unwrap();
    let day = Release {
        start: 0.0,
        minutes: 2880.0,
        mass: 2880.0 * 500.0,
        drying: 0.0,
    };
    let history = History::new(&room, &[day]).unwrap();
    // C = G / (n V), with 3 changes an hour and K of 3; half of it is there after ln 2 / n
    let steady = 500.0 / (100.0 / 60.0);
    assert!((history.peak().level / steady - 1.0).abs() < 1.0e-9);
    let half = history.level_at(60.0 * 2.0_f64.ln()).unwrap();
    assert!((half / steady - 0.5).abs() < 1.0e-9);
}

#[test]
fn the_peak_of_one_wet_film_is_the_textbook_one() {
    // all at once, k ≠ n: t = ln(k/n)/(k − n), c = (m/V) (n/k)^(n/(k − n)); at k = n: t = 1/k, c = (m/V)/e
    let room = WellMixedRoom::new(150.0, 450.0, 1.0).unwrap();
    let put = |drying| {
        History::new(
            &room,
            &[Release {
                start: 5.0,
                minutes: 0.0,
                mass: 150.0,
                drying,
            }],
        )
        .unwrap()
        .peak()
    };
    let (n, k): (f64, f64) = (0.05, 0.1);
    let peak = put(10.0);
    assert!((peak.minute - 5.0 - (k / n).ln() / (k - n)).abs() < 1.0e-9);
    assert!((peak.level - (n / k).powf(n / (k - n))).abs() < 1.0e-12);
    let same = put(20.0);
    assert!((same.minute - 25.0).abs() < 1.0e-9);
    assert!((same.level - (-1.0_f64).exp()).abs() < 1.0e-12);
}
