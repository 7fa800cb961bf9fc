//! Report, drawing and time line agree with one another and with the program.

use crate::desk::{Served, demo};
use serde_json::Value;

const DEMO: &[&str] = &[
    "hive-body.nc",
    "play-panel-maze.nc",
    "case-foam-lid.nc",
    "display-stand.nc",
    "mistakes.nc",
    "drill-template-inch.nc",
];

/// A drawing taken apart.
struct Drawing {
    moves: u32,
    simplified: bool,
    xy: Vec<f32>,
    z: Vec<f32>,
    end_s: Vec<f32>,
    move_index: Vec<u32>,
    line: Vec<u32>,
    class: Vec<u8>,
    tool: Vec<u8>,
}

impl Drawing {
    fn of(bytes: &[u8]) -> Self {
        assert_eq!(&bytes[..4], b"KWD1");
        let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap());
        let n = word(4) as usize;
        assert_eq!(bytes.len(), 16 + n * (4 * 4 + 4 + 4 + 4 + 4 + 1 + 1), "{n} segments");
        let words = |from: usize, count: usize| -> Vec<u32> {
            (0..count).map(|i| word(16 + (from + i) * 4)).collect()
        };
        let floats = |from, count| words(from, count).into_iter().map(f32::from_bits).collect();
        let bytes_from = |from: usize| bytes[16 + from..16 + from + n].to_vec();
        Self {
            moves: word(8),
            simplified: word(12) == 1,
            xy: floats(0, 4 * n),
            z: floats(4 * n, n),
            end_s: floats(5 * n, n),
            move_index: words(6 * n, n),
            line: words(7 * n, n),
            class: bytes_from(32 * n),
            tool: bytes_from(33 * n),
        }
    }

    fn len(&self) -> usize {
        self.z.len()
    }
}

async fn analyses(served: &Served, id: i64, budget: usize) -> (Value, Drawing, Value) {
    let path = |route: &str| format!("/api/v1/programs/{id}/{route}");
    let report = served.get(&path("report")).await.json();
    let drawing = served.get(&path(&format!("drawing?budget={budget}"))).await;
    assert_eq!(drawing.header("content-type"), "application/octet-stream");
    let timeline = served.get(&path("timeline?steps=300")).await.json();
    (report, Drawing::of(&drawing.body), timeline)
}

/// The values reach from least to most of the bounds, but for chords of arcs.
fn same_range(values: impl Iterator<Item = f32>, bounds: &Value, axis: usize, name: &str) {
    let (least, most) =
        values.fold((f32::MAX, f32::MIN), |(least, most), v| (least.min(v), most.max(v)));
    for (value, end) in [(least, "min"), (most, "max")] {
        let bound = number(&bounds[end][axis]);
        assert!((f64::from(value) - bound).abs() < 0.05, "{name} {axis}: {value} for {bound}");
    }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[tokio::test]
async fn drawings_of_the_demo_agree_with_their_reports() {
    let served = Served::new().await;
    for name in DEMO {
        let id = served.add(name, &demo(name)).await;
        let (report, drawing, _) = analyses(&served, id, 150_000).await;
        let (summary, tools) = (&report["summary"], report["tools"].as_array().unwrap().len());
        assert_eq!(number(&summary["moves"]), f64::from(drawing.moves), "{name}");
        assert!(drawing.len() > 10 && !drawing.simplified, "{name}: {}", drawing.len());
        assert!(drawing.move_index.is_sorted() && drawing.end_s.is_sorted(), "{name}");
        assert_eq!(*drawing.move_index.last().unwrap(), drawing.moves - 1, "{name}");
        assert!(f64::from(*drawing.end_s.last().unwrap()) <= number(&summary["time_s"]) * 1.0001);
        let lines = number(&report["program"]["lines"]) as u32;
        assert!(drawing.line.iter().all(|l| (1..=lines).contains(l)), "{name}");
        assert!(drawing.class.iter().all(|c| *c <= 3), "{name}");
        assert!(drawing.tool.iter().all(|t| *t == 255 || usize::from(*t) < tools), "{name}");
        let at_feed = |i: &usize| drawing.class[*i] != 0;
        let feed: Vec<usize> = (0..drawing.len()).filter(at_feed).collect();
        let ends = |column: usize| feed.iter().map(move |i| (*i, column));
        for (axis, columns) in [(0, [0, 2]), (1, [1, 3])] {
            let values = columns.into_iter().flat_map(ends).map(|(i, c)| drawing.xy[4 * i + c]);
            same_range(values, &summary["bounds"], axis, name);
        }
        let lowest = feed.iter().map(|i| drawing.z[*i]).fold(f32::MAX, f32::min);
        let bound = number(&summary["bounds_on_sheet"]["min"][2]);
        assert!((f64::from(lowest) - bound).abs() < 1e-3, "{name}: {lowest} for {bound}");
        assert!(drawing.z.iter().all(|z| z.is_finite()), "{name}");
    }
}

#[tokio::test]
async fn drawings_keep_their_budget() {
    let served = Served::new().await;
    let mut large = Vec::new();
    bench_data::write_program(&mut large, 20_000).unwrap();
    let mut drilling = String::from("G21 G90 G17 G94 G54\nG0 Z40\nT1 M6\nG43 H1\nS18000 M3\n");
    for i in 0..4000 {
        let (x, y) = (i % 80 * 25 + 50, i / 80 * 20 + 50);
        drilling += &format!("G0 X{x} Y{y}\nG1 Z-1 F800\nG0 Z5\n");
    }
    let programs = [("large.nc", large), ("drilling.nc", (drilling + "M30\n").into_bytes())];
    for (name, text) in programs {
        let id = served.add(name, &text).await;
        let mut before = 0;
        for budget in [100, 1000, 5000, 2_000_000] {
            let (_, drawing, _) = analyses(&served, id, budget).await;
            assert!(drawing.len() <= budget, "{name}: {} of {budget}", drawing.len());
            assert!(drawing.len() >= before, "{name}: more budget, fewer segments");
            // Rows of holes are straight lines: there is little between all and nothing.
            let may_jump = budget < 1000 || name == "drilling.nc";
            let well_used = may_jump || drawing.len() * 5 >= budget.min(20_000);
            assert!(well_used, "{name}: only {} of {budget}", drawing.len());
            assert_eq!(drawing.simplified, budget < 10_000, "{name}: {budget}");
            assert_eq!(*drawing.move_index.last().unwrap(), drawing.moves - 1, "{name}");
            before = drawing.len();
        }
    }
}

#[tokio::test]
async fn time_lines_of_the_demo_have_no_gaps() {
    let served = Served::new().await;
    for name in DEMO {
        let id = served.add(name, &demo(name)).await;
        let (report, _, timeline) = analyses(&served, id, 1000).await;
        let duration_s = number(&timeline["duration_s"]);
        assert!((duration_s - number(&report["summary"]["time_s"])).abs() < 1e-6, "{name}");
        let mut at_s = 0.0;
        for span in timeline["spans"].as_array().unwrap() {
            assert!((number(&span["from_s"]) - at_s).abs() < 1e-6, "{name}: {span}");
            at_s = number(&span["to_s"]);
        }
        assert!((at_s - duration_s).abs() < 1e-6, "{name}");
        for track in timeline["tracks"].as_array().unwrap() {
            let column = |c: &str| -> Vec<f64> {
                track[c].as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
            };
            let (low, high) = (column("low"), column("high"));
            assert_eq!((low.len(), high.len()), (300, 300), "{name}");
            assert!(low.iter().zip(&high).all(|(l, h)| 0.0 <= *l && l <= h), "{name}");
            assert!((number(&track["step_s"]) * 300.0 - duration_s).abs() < 1e-6, "{name}");
        }
    }
}

#[tokio::test]
async fn another_machine_or_sheet_gives_another_report() {
    let served = Served::new().await;
    let id = served.add("hive-body.nc", &demo("hive-body.nc")).await;
    let shop = served.get("/api/v1/shop").await.json();
    let usual = served.get(&format!("/api/v1/programs/{id}/report")).await.json();
    for sheet in shop["sheets"].as_array().unwrap() {
        let sheet = sheet["id"].as_str().unwrap();
        let report =
            served.get(&format!("/api/v1/programs/{id}/report?sheet={sheet}")).await.json();
        assert_eq!(report["sheet"]["id"], sheet);
        assert_eq!(report["machine"], usual["machine"]);
    }
}

#[tokio::test]
async fn asked_twice_the_answer_is_the_same() {
    let served = Served::new().await;
    let id = served.add("mistakes.nc", &demo("mistakes.nc")).await;
    for route in ["report", "drawing", "timeline"] {
        let path = format!("/api/v1/programs/{id}/{route}");
        let (first, second) = tokio::join!(served.get(&path), served.get(&path));
        assert_eq!(first.body, second.body, "{route}");
        assert_eq!(first.body, served.get(&path).await.body, "{route}");
    }
}
