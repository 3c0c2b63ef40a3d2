//! A pencil: evaluates the numbers of a line of the sheet. `+ - x / ^`, brackets, `min`, `max`,
//! `sqrt`.

pub fn evaluate(text: &str) -> Result<f64, String> {
    let tokens = tokens(text)?;
    let mut reader = Reader { tokens: &tokens, at: 0 };
    let value = reader.sum()?;
    match reader.peek() {
        None => Ok(value),
        Some(rest) => Err(format!("`{rest}` is left over in `{text}`")),
    }
}

fn tokens(text: &str) -> Result<Vec<String>, String> {
    let mut tokens: Vec<String> = Vec::new();
    let mut word = String::new();
    for c in text.chars().chain([' ']) {
        if c.is_ascii_alphanumeric() || c == '.' {
            word.push(c);
            continue;
        }
        if !word.is_empty() {
            tokens.push(std::mem::take(&mut word));
        }
        match c {
            ' ' => {}
            '+' | '-' | '/' | '^' | '(' | ')' | ',' => tokens.push(c.to_string()),
            other => return Err(format!("`{other}` in `{text}`")),
        }
    }
    Ok(tokens)
}

struct Reader<'a> {
    tokens: &'a [String],
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<&str> {
        self.tokens.get(self.at).map(String::as_str)
    }

    fn take(&mut self, token: &str) -> bool {
        let found = self.peek() == Some(token);
        self.at += usize::from(found);
        found
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = self.product()?;
        loop {
            if self.take("+") {
                value += self.product()?;
            } else if self.take("-") {
                value -= self.product()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.power()?;
        loop {
            if self.take("x") {
                value *= self.power()?;
            } else if self.take("/") {
                value /= self.power()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn power(&mut self) -> Result<f64, String> {
        let base = self.single()?;
        if self.take("^") { Ok(base.powf(self.single()?)) } else { Ok(base) }
    }

    fn single(&mut self) -> Result<f64, String> {
        if self.take("-") {
            return Ok(-self.single()?);
        }
        if self.take("(") {
            let value = self.sum()?;
            return if self.take(")") { Ok(value) } else { Err("a bracket is open".to_owned()) };
        }
        let word = self.peek().ok_or("it ends too early")?.to_owned();
        self.at += 1;
        if !["min", "max", "sqrt", "floor"].contains(&word.as_str()) {
            return word.parse().map_err(|_| format!("`{word}` is no number"));
        }
        let mut values = Vec::new();
        if !self.take("(") {
            return Err(format!("no bracket after {word}"));
        }
        loop {
            values.push(self.sum()?);
            if self.take(")") {
                break;
            }
            if !self.take(",") {
                return Err(format!("{word} is not closed"));
            }
        }
        Ok(match word.as_str() {
            "min" => values.into_iter().fold(f64::INFINITY, f64::min),
            "max" => values.into_iter().fold(f64::NEG_INFINITY, f64::max),
            "floor" => values[0].floor(),
            _ => values[0].sqrt(),
        })
    }
}

#[test]
fn the_pencil_calculates() {
    for (text, value) in [
        ("1 + 2 x 3", 7.0),
        ("(1 + 2) x 3 - -4", 13.0),
        ("2 x 3^2 / 12", 1.5),
        ("max(min(5, 3) / 2, 0)", 1.5),
        ("sqrt(16) / 2 x 3", 6.0),
        ("1 + floor(21 / 12)", 2.0),
        ("10 - 4 - 3", 3.0),
    ] {
        assert_eq!(evaluate(text), Ok(value), "{text}");
    }
    assert!(evaluate("1 +").is_err() && evaluate("(1").is_err() && evaluate("1 2").is_err());
}
