//! Weibull lives against worked figures.

use crate::close::{assert_close, assert_within};
use kw_cutting::life::{ChangeCosts, Replacement, Weibull};

#[test]
fn tc_22_mean_100_variation_030() {
    // coefficient of variation [P] Wager & Barash 1971, J. Eng. Ind. 93(4):1044; [C]; 1 %, ±1 min
    let lives = Weibull::from_mean_and_variation(100.0, 0.30).expect("in range");
    assert_close(lives.shape(), 3.714, 1e-2);
    assert_close(lives.scale(), 110.79, 1e-2);
    assert_close(lives.life_at_failed_share(0.1), 60.4, 1e-2);
    assert_close(lives.reliability(60.0), 0.9026, 1e-2);
    assert_close(lives.reliability(80.0), 0.742, 1e-2);
    let costs = ChangeCosts { planned: 20.0, failure: 120.0 };
    let Replacement::ChangeAt { time, cost_rate, as_good, failed_share } = costs.cheapest(&lives)
    else {
        panic!("a planned change pays");
    };
    assert_within(time, 55.0, 1.0);
    assert_close(cost_rate, 0.5014, 1e-2);
    assert_close(costs.failure_cost_rate(&lives), 1.20, 1e-2);
    assert_close(failed_share, lives.failed_share(time), 1e-12);
    // the case says flat from 50 to 59 without saying how flat: 1.1 % and 0.6 % above the least
    for at in [50.0, 59.0] {
        assert_close(costs.cost_rate(&lives, at).expect("above 0"), cost_rate, 0.012);
    }
    // [C] 1 % above the least, by stepping the integral in another program: 50.2 and 60.0
    assert_within(as_good.0, 50.2, 0.1);
    assert_within(as_good.1.expect("failing is dearer"), 60.0, 0.1);
}

#[test]
fn shape_by_coefficient_of_variation() {
    // [C] section 3.3, as printed: CV -> shape, scale/mean, B10/mean, B1/mean
    for (variation, shape, scale, b10, b1) in [
        (0.10, 12.15, 1.043, 0.867, 0.714),
        (0.15, 7.91, 1.063, 0.799, 0.594),
        (0.20, 5.80, 1.080, 0.733, 0.488),
        (0.25, 4.54, 1.095, 0.667, 0.398),
        (0.30, 3.71, 1.108, 0.604, 0.321),
        (0.35, 3.13, 1.118, 0.545, 0.257),
        (0.40, 2.70, 1.125, 0.488, 0.204),
        (0.50, 2.10, 1.129, 0.387, 0.127),
        (1.0, 1.00, 1.000, 0.105, 0.010),
    ] {
        let lives = Weibull::from_mean_and_variation(1.0, variation).expect("in range");
        assert_within(lives.shape(), shape, 6e-3);
        assert_within(lives.scale(), scale, 6e-4);
        assert_within(lives.life_at_failed_share(0.10), b10, 6e-4);
        assert_within(lives.life_at_failed_share(0.01), b1, 6e-4);
    }
}
