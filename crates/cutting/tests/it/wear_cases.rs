//! Tool life and its economics against worked figures.

use crate::close::{assert_close, assert_within};
use kw_cutting::wear::{
    CostRates, CuttingCondition, PartTime, ReferenceLife, Regression, Segment, Taylor,
    TaylorExponents, TaylorFitError, follow_life, minutes_left, time_at_wear_min,
};

type Readings = &'static [(f64, f64)];

#[test]
fn tc_18_life_against_speed_and_feed() {
    // [T] problem data of a course sheet, answers [C]; 1e-3
    for (exponent, speed, life) in
        [(0.5, 0.5, 4.0), (0.5, 0.25, 16.0), (0.4, 0.8, 1.7469), (0.4, 1.3, 0.5190)]
    {
        assert_close(Taylor::life_ratio(exponent, speed), life, 1e-3);
    }
    let at = CuttingCondition {
        speed_m_min: 100.0,
        feed_per_tooth_mm: 0.2,
        depth_mm: 1.0,
        abrasion: 1.0,
    };
    let exponents = TaylorExponents { life: 0.5, feed: 0.6, depth: 0.0 };
    let reference = ReferenceLife { life_min: 60.0, at, exponents };
    let ratio = reference.equal_life_feed_ratio(1.5).expect("feed matters");
    assert_close(ratio, 0.5088, 1e-3);
    let faster = CuttingCondition { speed_m_min: 150.0, feed_per_tooth_mm: 0.2 * ratio, ..at };
    assert_close(reference.life_min(&faster), 60.0, 1e-12);
}

#[test]
fn tc_19_lives_read_off_a_wear_table() {
    // [T] Groover, Fundamentals of Modern Manufacturing, problem data; [C]; 1e-3
    let slow: Readings =
        &[(1.0, 0.12), (5.0, 0.27), (11.0, 0.45), (15.0, 0.58), (20.0, 0.73), (25.0, 0.97)];
    let fast: Readings = &[(1.0, 0.22), (5.0, 0.47), (9.0, 0.70), (11.0, 0.80), (13.0, 0.99)];
    for (limit, lives, exponent, constant) in
        [(0.75, [20.417, 10.0], 0.6140, 637.3), (0.50, [12.538, 5.522], 0.5344, 386.3)]
    {
        let at = |readings| time_at_wear_min(readings, limit).expect("reached");
        assert_close(at(slow), lives[0], 1e-3);
        assert_close(at(fast), lives[1], 1e-3);
        let points = [(100.0, at(slow)), (155.0, at(fast))];
        let fit = Taylor::fit(&points, Regression::LifeOverSpeed).expect("a fit");
        assert_close(fit.taylor.exponent, exponent, 1e-3);
        assert_close(fit.taylor.constant_m_min, constant, 1e-3);
    }
}

const GLASS_LAB_D: [(f64, Readings); 3] = [
    (
        100.0,
        &[
            (1.0, 0.068),
            (2.5, 0.091),
            (5.0, 0.138),
            (10.0, 0.158),
            (15.0, 0.190),
            (20.0, 0.199),
            (30.0, 0.270),
        ],
    ),
    (150.0, &[(1.0, 0.061), (2.5, 0.101), (5.0, 0.140), (10.0, 0.182), (15.0, 0.344)]),
    (200.0, &[(1.0, 0.093), (2.5, 0.114), (5.0, 0.147), (10.0, 0.809)]),
];

const GLASS_LAB_B: [(f64, Readings); 3] = [
    (
        120.0,
        &[
            (1.0, 0.023),
            (2.5, 0.030),
            (5.0, 0.081),
            (10.0, 0.120),
            (15.0, 0.131),
            (20.0, 0.146),
            (25.0, 0.242),
        ],
    ),
    (170.0, &[(1.0, 0.065), (2.5, 0.094), (5.0, 0.140), (10.0, 0.151), (12.4, 0.310)]),
    (240.0, &[(1.0, 0.142), (2.5, 0.308)]),
];

fn lives(table: &[(f64, Readings)], limit_mm: f64) -> Vec<(f64, f64)> {
    table
        .iter()
        .filter_map(|&(speed, readings)| Some((speed, time_at_wear_min(readings, limit_mm)?)))
        .collect()
}

#[test]
fn tc_20_glass_fibre_turning() {
    // [D] AIST machining data, carbide K10, feed 0.10 and 0.15; [C]; 1 %
    let d = lives(&GLASS_LAB_D, 0.25);
    for (&(_, life), want) in d.iter().zip([27.18, 12.10, 5.778]) {
        assert_close(life, want, 1e-2);
    }
    let speed = Taylor::fit(&d, Regression::SpeedOverLife).expect("a fit").taylor;
    assert_close(speed.exponent, 0.4485, 1e-2);
    assert_close(speed.constant_m_min, 445.8, 1e-2);
    let life = Taylor::fit(&d, Regression::LifeOverSpeed).expect("a fit").taylor;
    assert_close(life.exponent, 0.4508, 1e-2);
    assert_close(life.constant_m_min, 448.4, 1e-2);

    let b = lives(&GLASS_LAB_B, 0.20);
    for (&(_, life), want) in b.iter().zip([22.81, 10.74, 1.524]) {
        assert_close(life, want, 1e-2);
    }
    for regression in [Regression::SpeedOverLife, Regression::LifeOverSpeed] {
        let fit = Taylor::fit(&b, regression).expect("a fit");
        assert!((0.2400 * 0.99..=0.256 * 1.01).contains(&fit.taylor.exponent), "{fit:?}");
        assert!((273.0 * 0.99..=282.0 * 1.01).contains(&fit.taylor.constant_m_min), "{fit:?}");
        assert!(fit.worst_factor > 1.2, "three points off one line: {fit:?}");
    }
}

#[test]
fn readings_that_contradict_one_another_are_refused() {
    // [D] AIST lab A at 10 and 15 min (not monotone in speed at 10 min), wear limit 0.15 mm
    let table: [(f64, Readings); 3] = [
        (100.0, &[(10.0, 0.150), (15.0, 0.206)]),
        (150.0, &[(10.0, 0.170), (15.0, 0.258)]),
        (200.0, &[(10.0, 0.165), (15.0, 0.320)]),
    ];
    let too_worn_to_read = lives(&table, 0.15);
    let fit = Taylor::fit(&too_worn_to_read, Regression::LifeOverSpeed);
    assert_eq!(fit, Err(TaylorFitError::TooFew { points: 0 }));
    let at_0168 = lives(&table, 0.168);
    assert_eq!(at_0168.iter().map(|point| point.0).collect::<Vec<_>>(), [100.0, 200.0]);
    let fit = Taylor::fit(&[(150.0, 9.8), (200.0, 10.1)], Regression::LifeOverSpeed);
    assert!(matches!(fit, Err(TaylorFitError::NotFalling { .. })));
}

#[test]
fn tc_21_two_points_and_textbook_economics() {
    // a) [T] Rao problem 28; [C]; 1e-3
    let points = [(25.0, 30.0), (50.0, 2.0)];
    let taylor = Taylor::fit(&points, Regression::LifeOverSpeed).expect("a fit").taylor;
    assert_close(taylor.exponent, 0.2560, 1e-3);
    assert_close(taylor.constant_m_min, 59.71, 1e-3);
    assert_close(taylor.life_min(70.0), 0.537, 1e-3);
}

struct Economy {
    rates: CostRates,
    exponent: f64,
    constant: f64,
    cheapest: Option<(f64, f64)>,
    fastest: Option<(f64, f64)>,
}

#[test]
fn tc_21_rows_of_economics() {
    // [T] Ghosh & Mallik 4.26 (p. 268), 4.28 (p. 271), 4.27 (p. 269, tools X and Y); Rao problem
    // 27, example 2.4; answers [C]. As printed: 1e-3, the lives to their last place.
    let rates = |machine_per_min, edge, change_min| CostRates { machine_per_min, edge, change_min };
    let rows = [
        Economy {
            rates: rates(0.15, 2.5, 2.0),
            exponent: 0.25,
            constant: 75.0,
            cheapest: Some((56.0, 27.42)),
            fastest: Some((6.0, 47.92)),
        },
        Economy {
            rates: rates(0.25, 2.0, 1.0),
            exponent: 0.1,
            constant: 30.0,
            cheapest: Some((81.0, 19.33)),
            fastest: None,
        },
        Economy {
            rates: rates(0.25, 2.0, 1.0),
            exponent: 0.16,
            constant: 76.0,
            cheapest: Some((47.25, 41.01)),
            fastest: None,
        },
        Economy {
            rates: rates(75.0 / 60.0, 15.0, 5.0),
            exponent: 0.2,
            constant: 400.0,
            cheapest: Some((68.0, 172.0)),
            fastest: Some((20.0, 219.7)),
        },
        Economy {
            rates: rates(1.0, 0.0, 2.0),
            exponent: 0.22,
            constant: 475.0,
            cheapest: None,
            fastest: Some((7.09, 308.7)),
        },
    ];
    for row in rows {
        let taylor = Taylor { exponent: row.exponent, constant_m_min: row.constant };
        let check = |life: Option<f64>, want: Option<(f64, f64)>| {
            if let Some((want_life, want_speed)) = want {
                let life = life.expect("an optimum");
                assert_close(life, want_life, 1e-3);
                assert_close(taylor.speed_m_min(life), want_speed, 1e-3);
            }
        };
        check(row.rates.life_for_least_cost_min(row.exponent), row.cheapest);
        check(row.rates.life_for_most_output_min(row.exponent), row.fastest);
    }
}

#[test]
fn of_two_tools_the_cheaper_is_named() {
    // [T] Ghosh & Mallik 4.27: Y is cheaper
    let rates = CostRates { machine_per_min: 0.25, edge: 2.0, change_min: 1.0 };
    let cost = |exponent, constant_m_min| {
        let life = rates.life_for_least_cost_min(exponent).expect("an optimum");
        let speed = Taylor { exponent, constant_m_min }.speed_m_min(life);
        rates.per_part(PartTime { handling_min: 0.0, cutting_min: 100.0 / speed }, life)
    };
    assert!(cost(0.16, 76.0) < cost(0.1, 30.0));
}

#[test]
fn equal_life_at_one_speed_parts_at_another() {
    // [T] Rao problem 26: 60 min at 75 m/min for both; [C]
    for (exponent, constant, at_100) in [(0.15, 138.6, 8.82), (0.2, 170.1, 14.24)] {
        let constant_m_min = 75.0 * kw_base::math::pow(60.0, exponent);
        assert_close(constant_m_min, constant, 1e-3);
        assert_close(Taylor { exponent, constant_m_min }.life_min(100.0), at_100, 1e-3);
    }
}

#[test]
fn tc_23_mixed_speeds() {
    // [C] linear accumulation; 2e-3
    let taylor = Taylor { exponent: 0.4485, constant_m_min: 445.83 };
    for (speed, life) in [(100.0, 28.02), (150.0, 11.34), (200.0, 5.97)] {
        assert_close(taylor.life_min(speed), life, 2e-3);
    }
    let segments = [(5.0, 150.0), (2.0, 200.0)]
        .map(|(time_min, speed)| Segment { time_min, life_min: taylor.life_min(speed) });
    let track = follow_life(0.0, 1.0, segments);
    assert_close(track.used_at_end, 0.7755, 2e-3);
    assert_eq!(track.crossing, None);
    let left = minutes_left(track.used_at_end, 1.0, taylor.life_min(100.0));
    assert_within(left, 6.29, 2e-3 * 6.29);
    let to_the_end =
        segments.into_iter().chain([Segment { time_min: 20.0, life_min: taylor.life_min(100.0) }]);
    let crossing = follow_life(0.0, 1.0, to_the_end).crossing.expect("worn out");
    assert_eq!(crossing.segment, 2);
    assert_close(crossing.time_min, 7.0 + 6.29, 2e-3);
}
