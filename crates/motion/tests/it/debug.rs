use crate::support::*;
#[test]
fn debug() {
    let mut l = even(352.00021862720564, 3672.745726076204);
    l.axis[1].acceleration *= 0.8;
    l.axis[2].speed *= 0.4;
    l.axis[2].acceleration *= 0.5;
    l.corner_tolerance_mm = 0.17827052712889108;
    let mut pts = vec![(0.0, 0.0)];
    let at = |p: &Vec<(f64, f64)>| *p.last().unwrap();
    for i in 0..11 {
        let (s, c) = kw_base::math::sincos(0.300866048938745 * i as f64);
        let a = at(&pts);
        pts.push((a.0 + c * 0.4333053550005931, a.1 + s * 0.4333053550005931));
    }
    let a = at(&pts);
    pts.push((a.0 - 17.72294736365255, a.1 - 5.708562787650422));
    for jerk in [f64::INFINITY, 241255.1848685389] {
        let l = with_jerk(l.clone(), jerk);
        for rev in [false, true] {
            let mut q = pts.clone();
            if rev {
                q.reverse();
            }
            let mut p = Path::new();
            p.0.start_mm = kw_geometry::Vec3::new(q[0].0, q[0].1, 0.0);
            for k in 1..q.len() {
                let rapid = if rev { k == 1 } else { k == 12 };
                p = if rapid { p.rapid(q[k].0, q[k].1, 0.0) } else { p.line(q[k].0, q[k].1, 0.0, 8317.375082491042) };
            }
            let plan = kw_motion::plan(&p.0, &l, &Default::default());
            println!("{jerk} {rev} {} {:?} {:?}", plan.total_s, plan.exit_speed, plan.peak_speed);
        }
    }
}
