//! Functions and operators of expressions (NISTIR 6556, section 3.3.2.2 to 3.3.2.4).

use kw_base::math;

/// A function of one argument in brackets, or the arctangent of two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Function {
    Abs,
    Acos,
    Asin,
    Atan,
    Cos,
    Exp,
    Fix,
    Fup,
    Ln,
    Round,
    Sin,
    Sqrt,
    Tan,
}

/// Functions by name.
#[rustfmt::skip]
pub(crate) const FUNCTIONS: [(&[u8], Function); 13] = [
    (b"ABS", Function::Abs), (b"ACOS", Function::Acos), (b"ASIN", Function::Asin),
    (b"ATAN", Function::Atan), (b"COS", Function::Cos), (b"EXP", Function::Exp),
    (b"FIX", Function::Fix), (b"FUP", Function::Fup), (b"LN", Function::Ln),
    (b"ROUND", Function::Round), (b"SIN", Function::Sin), (b"SQRT", Function::Sqrt),
    (b"TAN", Function::Tan),
];

/// A binary operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Operator {
    Power,
    Times,
    Over,
    Modulo,
    Plus,
    Minus,
    Or,
    Xor,
    And,
}

/// Operators by spelling, longer ones first where one begins another.
#[rustfmt::skip]
pub(crate) const OPERATORS: [(&[u8], Operator); 9] = [
    (b"**", Operator::Power), (b"*", Operator::Times), (b"/", Operator::Over),
    (b"MOD", Operator::Modulo), (b"+", Operator::Plus), (b"-", Operator::Minus),
    (b"OR", Operator::Or), (b"XOR", Operator::Xor), (b"AND", Operator::And),
];

impl Operator {
    /// Binding strength, strongest 3.
    pub(crate) fn rank(self) -> u8 {
        match self {
            Self::Power => 3,
            Self::Times | Self::Over | Self::Modulo => 2,
            _ => 1,
        }
    }
}

/// Why an expression has no value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum NoValue {
    /// Division or remainder by zero.
    DivisionByZero,
    /// Power without real value: base, exponent.
    Power(f64, f64),
    /// Argument outside the function's domain.
    Argument(f64),
    /// Result beyond numbers.
    TooLarge,
}

/// Largest intermediate value.
const LARGEST: f64 = 1e300;

fn bounded(value: f64) -> Result<f64, NoValue> {
    if value.abs() <= LARGEST { Ok(value) } else { Err(NoValue::TooLarge) }
}

/// Value of a binary operation. Remainders take the divisor's sign (our ruling).
pub(crate) fn apply(operator: Operator, left: f64, right: f64) -> Result<f64, NoValue> {
    let truth = |yes: bool| Ok(f64::from(u8::from(yes)));
    match operator {
        Operator::Power => power(left, right),
        Operator::Times => bounded(left * right),
        Operator::Over if right == 0.0 => Err(NoValue::DivisionByZero),
        Operator::Over => bounded(left / right),
        Operator::Modulo if right == 0.0 => Err(NoValue::DivisionByZero),
        Operator::Modulo => Ok(modulo(left, right)),
        Operator::Plus => bounded(left + right),
        Operator::Minus => bounded(left - right),
        Operator::Or => truth(left != 0.0 || right != 0.0),
        Operator::Xor => truth((left != 0.0) != (right != 0.0)),
        Operator::And => truth(left != 0.0 && right != 0.0),
    }
}

fn power(base: f64, exponent: f64) -> Result<f64, NoValue> {
    let broken = base < 0.0 && exponent != exponent.floor();
    if broken || (base == 0.0 && exponent < 0.0) {
        return Err(NoValue::Power(base, exponent));
    }
    bounded(math::pow(base, exponent))
}

fn modulo(left: f64, right: f64) -> f64 {
    let rest = left % right;
    if rest != 0.0 && (rest < 0.0) != (right < 0.0) { rest + right } else { rest }
}

/// Value of a function of one argument; angles in degrees. `ATAN` is not among them.
pub(crate) fn call(function: Function, x: f64) -> Result<f64, NoValue> {
    let domain = |ok: bool, value: f64| if ok { bounded(value) } else { Err(NoValue::Argument(x)) };
    match function {
        Function::Abs => Ok(x.abs()),
        Function::Acos => domain(x.abs() <= 1.0, math::acos(x).to_degrees()),
        Function::Asin => domain(x.abs() <= 1.0, math::asin(x).to_degrees()),
        Function::Atan => Ok(arctangent(x, 1.0)),
        Function::Cos => Ok(math::cos(x.to_radians())),
        Function::Exp => bounded(math::exp(x)),
        Function::Fix => Ok(x.floor()),
        Function::Fup => Ok(x.ceil()),
        Function::Ln => domain(x > 0.0, math::log(x)),
        Function::Round => Ok(x.round()),
        Function::Sin => Ok(math::sin(x.to_radians())),
        Function::Sqrt => domain(x >= 0.0, x.sqrt()),
        Function::Tan => bounded(math::tan(x.to_radians())),
    }
}

/// Angle of the point (x, y), degrees, −180 to 180.
pub(crate) fn arctangent(y: f64, x: f64) -> f64 {
    math::atan2(y, x).to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remainders_take_the_sign_of_the_divisor() {
        assert_eq!(modulo(15.0, 4.0), 3.0);
        assert_eq!(modulo(-1.0, 4.0), 3.0);
        assert_eq!(modulo(1.0, -4.0), -3.0);
        assert_eq!(modulo(-8.0, 4.0), 0.0);
    }

    #[test]
    fn what_has_no_value_says_why() {
        assert_eq!(apply(Operator::Over, 1.0, 0.0), Err(NoValue::DivisionByZero));
        assert_eq!(apply(Operator::Power, -2.0, 0.5), Err(NoValue::Power(-2.0, 0.5)));
        assert_eq!(apply(Operator::Power, 1e200, 2.0), Err(NoValue::TooLarge));
        assert_eq!(call(Function::Sqrt, -1.0), Err(NoValue::Argument(-1.0)));
        assert_eq!(call(Function::Exp, 1e6), Err(NoValue::TooLarge));
    }
}
