//! Expressions against a second evaluator: random trees, printed with the language's precedence and
//! evaluated here on the tree (NISTIR 6556, section 3.3.2 and appendix E), and the values that the
//! report's sample and our facts state.

use crate::support::{names, near, read_strictly, read_text};
use kw_base::math;
use proptest::prelude::*;

/// An expression as a tree.
#[derive(Clone, Debug)]
enum Tree {
    Number(String),
    Parameter(u16),
    Call(&'static str, Box<Tree>),
    Atan(Box<Tree>, Box<Tree>),
    Binary(&'static str, Box<Tree>, Box<Tree>),
}

const PARAMETERS: [(u16, f64); 4] = [(1, 2.0), (2, -0.5), (3, 0.0), (4, 7.25)];

fn rank(operator: &str) -> u8 {
    match operator {
        "**" => 3,
        "*" | "/" | "MOD" => 2,
        _ => 1,
    }
}

impl Tree {
    /// Text of a value: anything but a bare operation.
    fn value(&self) -> String {
        match self {
            Self::Number(text) => text.clone(),
            Self::Parameter(index) => format!("#{index}"),
            Self::Call(name, x) => format!("{name}[{}]", x.inside()),
            Self::Atan(y, x) => format!("ATAN[{}]/[{}]", y.inside(), x.inside()),
            Self::Binary(..) => format!("[{}]", self.inside()),
        }
    }

    /// Text inside brackets, with no more brackets than precedence needs.
    fn inside(&self) -> String {
        let Self::Binary(operator, left, right) = self else { return self.value() };
        let side = |tree: &Self, least: u8| match tree {
            Self::Binary(inner, ..) if rank(inner) >= least => tree.inside(),
            _ => tree.value(),
        };
        // Equal rank goes from left to right, powers too.
        let (l, r) = (side(left, rank(operator)), side(right, rank(operator) + 1));
        format!("{l} {operator} {r}")
    }

    /// Its value; `None` where it has none.
    fn evaluate(&self) -> Option<f64> {
        let value = match self {
            Self::Number(text) => text.parse().unwrap(),
            Self::Parameter(index) => PARAMETERS.iter().find(|(i, _)| i == index)?.1,
            Self::Call(name, x) => call(name, x.evaluate()?)?,
            Self::Atan(y, x) => math::atan2(y.evaluate()?, x.evaluate()?).to_degrees(),
            Self::Binary(operator, l, r) => binary(operator, l.evaluate()?, r.evaluate()?)?,
        };
        (value.abs() <= 1e300).then_some(value)
    }
}

fn call(name: &str, x: f64) -> Option<f64> {
    let rad = x.to_radians();
    Some(match name {
        "ABS" => x.abs(),
        "ACOS" if (-1.0..=1.0).contains(&x) => math::acos(x).to_degrees(),
        "ASIN" if (-1.0..=1.0).contains(&x) => math::asin(x).to_degrees(),
        "COS" => math::cos(rad),
        "EXP" => math::exp(x),
        "FIX" => x.floor(),
        "FUP" => x.ceil(),
        "LN" if x > 0.0 => math::log(x),
        "ROUND" => x.round(),
        "SIN" => math::sin(rad),
        "SQRT" if x >= 0.0 => x.sqrt(),
        "TAN" => math::tan(rad),
        _ => return None,
    })
}

fn binary(operator: &str, l: f64, r: f64) -> Option<f64> {
    let truth = |yes: bool| if yes { 1.0 } else { 0.0 };
    Some(match operator {
        "**" if l < 0.0 && r.fract() != 0.0 => return None,
        "**" if l == 0.0 && r < 0.0 => return None,
        "**" => math::pow(l, r),
        "*" => l * r,
        "/" if r != 0.0 => l / r,
        "MOD" if r != 0.0 => {
            let rest = l % r;
            if rest != 0.0 && (rest > 0.0) != (r > 0.0) { rest + r } else { rest }
        }
        "+" => l + r,
        "-" => l - r,
        "OR" => truth(l != 0.0 || r != 0.0),
        "XOR" => truth((l != 0.0) ^ (r != 0.0)),
        "AND" => truth(l != 0.0 && r != 0.0),
        _ => return None,
    })
}

fn tree() -> impl Strategy<Value = Tree> {
    let number = "-?[0-9]{1,4}(\\.[0-9]{1,4})?".prop_map(Tree::Number);
    let leaf = prop_oneof![
        3 => number,
        1 => prop::sample::select(vec![1_u16, 2, 3, 4]).prop_map(Tree::Parameter),
    ];
    let operators = vec!["**", "*", "/", "MOD", "+", "-", "OR", "XOR", "AND"];
    let functions = vec![
        "ABS", "ACOS", "ASIN", "COS", "EXP", "FIX", "FUP", "LN", "ROUND", "SIN", "SQRT", "TAN",
    ];
    leaf.prop_recursive(6, 48, 2, move |inner| {
        let pair = (inner.clone(), inner.clone());
        prop_oneof![
            4 => (prop::sample::select(operators.clone()), pair.clone())
                .prop_map(|(o, (l, r))| Tree::Binary(o, Box::new(l), Box::new(r))),
            1 => (prop::sample::select(functions.clone()), inner)
                .prop_map(|(f, x)| Tree::Call(f, Box::new(x))),
            1 => pair.prop_map(|(y, x)| Tree::Atan(Box::new(y), Box::new(x))),
        ]
    })
}

/// Value that the reader gives an expression; `None` if it reports a fault.
fn read_value(expression: &str) -> Option<f64> {
    let settings: String = PARAMETERS.iter().map(|(i, v)| format!("#{i}={v}\n")).collect();
    let reading = read_text(&format!("{settings}#50=[{expression}]\nM2\n"));
    reading.parameters.is_set(50).then(|| {
        assert_eq!(names(&reading), Vec::<&str>::new(), "{expression}");
        reading.parameters.get(50)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn two_evaluators_agree(tree in tree(), blanks in any::<bool>(), lower in any::<bool>()) {
        let mut text = tree.inside();
        if !blanks {
            text.retain(|c| c != ' ');
        }
        if lower {
            text = text.to_lowercase();
        }
        let (read, expected) = (read_value(&text), tree.evaluate());
        prop_assert_eq!(read.map(f64::to_bits), expected.map(f64::to_bits), "{}", text);
    }
}

#[test]
#[allow(clippy::approx_constant, reason = "figures as printed")]
fn values_of_the_report() {
    // NISTIR 6556, appendix C.2, and our facts on the language, section 1.3.
    for (expression, value, tolerance) in [
        ("1--3", 4.0, 0.0),
        ("1+2*3-4/5", 6.2, 1e-15),
        ("15 MOD 4.0", 3.0, 0.0),
        ("2**3**2", 64.0, 0.0),
        ("10-2*3 MOD 4", 8.0, 0.0),
        ("ACOS[0.707107]", 45.0, 1e-4),
        ("ATAN[1.7321]/[1.0]", 60.0, 1e-3),
        ("2+ASIN[1/2.1+-0.345]/[ATAN[FIX[4.4]*2.1*SQRT[16.8]]/[-18]]**2", 2.000545, 1e-6),
        ("ROUND[-0.499]", 0.0, 0.0),
        ("ROUND[-0.5001]", -1.0, 0.0),
        ("FIX[-0.499]", -1.0, 0.0),
        ("FUP[-0.499]", 0.0, 0.0),
        ("FIX[-2.8]", -3.0, 0.0),
        ("FUP[-2.8]", -2.0, 0.0),
        ("2 OR 2", 1.0, 0.0),
        ("2 XOR 2", 0.0, 0.0),
        ("2 AND 2", 1.0, 0.0),
        ("1 OR 0 AND 0", 0.0, 0.0),
        ("2.0/3*1.5-5.5/11.0", 0.5, 1e-15),
        ("SQRT[3**2+4**2]", 5.0, 0.0),
        ("EXP[2.3026]", 10.0, 1e-3),
        ("LN[10]", 2.3026, 1e-4),
        ("ATAN[1]/[-1]", 135.0, 1e-12),
        ("-2**2", 4.0, 0.0),
    ] {
        let reading = read_strictly(&format!("#50=[{expression}]\nM2\n"));
        assert_eq!(names(&reading), Vec::<&str>::new(), "{expression}");
        near(reading.parameters.get(50), value, tolerance);
    }
}

#[test]
fn parameters_bind_tightest_and_may_be_indirect() {
    let reading =
        read_strictly("#1=2\n#2=9\n#3=7\n#11=#1+2\n#12=[#1+2]\n#13=#[1+2]\n#14=##1\nM2\n");
    // `#11=#1` sets 2, and `+2` behind it is unreadable.
    assert_eq!(names(&reading), ["character-unreadable"]);
    let values: Vec<f64> = (11..15).map(|n| reading.parameters.get(n)).collect();
    assert_eq!(values, [2.0, 4.0, 7.0, 9.0]);
}
