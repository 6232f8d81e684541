//! What can stand in a field, kind by kind: as it is read, as it is written, and what is usual.

use super::fields::{Field, Fields, List, Node, Wrong};
use litemap::LiteMap;
use serde_json::Value;

/// Fields of one kind of JSON value: how it is taken from there and put there, and what is usual.
macro_rules! plain {
    ($($kind:ty: $what:literal, $take:expr, $node:expr, $usual:expr;)*) => {
        $(impl Field for $kind {
            fn read(value: Value) -> Result<Self, Wrong> {
                let take: fn(Value) -> Option<Self> = $take;
                take(value).ok_or_else(|| Wrong::wanted($what))
            }

            fn node(&self) -> Node<'_> {
                let node: fn(&Self) -> Node<'_> = $node;
                node(self)
            }

            fn usual() -> Self {
                $usual
            }

            fn is_usual(&self) -> bool {
                *self == $usual
            }
        })*
    };
}

plain! {
    bool: "true or false", |value| value.as_bool(), |it| Node::Bool(*it), false;
    f64: "a number", |value| value.as_f64(), |it| Node::Number(*it), 0.0;
    u32: "a whole number", |value| value.as_u64()?.try_into().ok(), |it| Node::Count(u64::from(*it)), 0;
    u64: "a whole number", |value| value.as_u64(), |it| Node::Count(*it), 0;
    usize: "a whole number", |value| value.as_u64()?.try_into().ok(), |it| Node::Count(*it as u64), 0;
}

impl Field for String {
    fn read(value: Value) -> Result<Self, Wrong> {
        match value {
            Value::String(text) => Ok(text),
            _ => Err(Wrong::wanted("a text")),
        }
    }

    fn node(&self) -> Node<'_> {
        Node::Text(self)
    }

    fn usual() -> Self {
        Self::new()
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }
}

impl<const N: usize> Field for [f64; N] {
    fn read(value: Value) -> Result<Self, Wrong> {
        let numbers = Vec::<f64>::read(value).ok().and_then(|all| all.try_into().ok());
        numbers.ok_or_else(|| Wrong::wanted(&format!("a list of {N} numbers")))
    }

    fn node(&self) -> Node<'_> {
        Node::Numbers(self)
    }

    fn usual() -> Self {
        [0.0; N]
    }

    fn is_usual(&self) -> bool {
        self.iter().all(|number| *number == 0.0)
    }
}

impl<const N: usize> Field for [u32; N] {
    fn read(value: Value) -> Result<Self, Wrong> {
        let numbers = Vec::<u32>::read(value).ok().and_then(|all| all.try_into().ok());
        numbers.ok_or_else(|| Wrong::wanted(&format!("a list of {N} whole numbers")))
    }

    fn node(&self) -> Node<'_> {
        Node::Counts(self)
    }

    fn usual() -> Self {
        [0; N]
    }
}

impl<T: Field> Field for Option<T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        if value.is_null() { Ok(None) } else { T::read(value).map(Some) }
    }

    fn node(&self) -> Node<'_> {
        self.as_ref().map_or(Node::Null, T::node)
    }

    fn usual() -> Self {
        None
    }

    fn is_usual(&self) -> bool {
        self.is_none()
    }
}

impl Field for Value {
    fn read(value: Value) -> Result<Self, Wrong> {
        Ok(value)
    }

    fn node(&self) -> Node<'_> {
        Node::Plain(self)
    }

    fn usual() -> Self {
        Self::Null
    }
}

impl<T: Field> Field for Box<T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        T::read(value).map(Self::new)
    }

    fn node(&self) -> Node<'_> {
        (**self).node()
    }

    fn usual() -> Self {
        Self::new(T::usual())
    }
}

impl<T: Field> Field for Vec<T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        let Value::Array(all) = value else { return Err(Wrong::wanted("a list")) };
        let each = all.into_iter().enumerate();
        each.map(|(k, one)| T::read(one).map_err(|wrong| wrong.within(&format!("[{k}]")))).collect()
    }

    fn node(&self) -> Node<'_> {
        Node::List(self)
    }

    fn usual() -> Self {
        Self::new()
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }
}

impl<T: Field> List for Vec<T> {
    fn count(&self) -> usize {
        self.len()
    }

    fn at(&self, k: usize) -> Node<'_> {
        self.get(k).map_or(Node::Null, T::node)
    }
}

impl<T: Field> Field for LiteMap<String, T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        let Value::Object(all) = value else { return Err(Wrong::wanted("an object")) };
        let mut read = Self::with_capacity(all.len());
        for (name, one) in all {
            let one = T::read(one).map_err(|wrong| wrong.within(&name))?;
            read.insert(name, one);
        }
        Ok(read)
    }

    fn node(&self) -> Node<'_> {
        Node::Record(self)
    }

    fn usual() -> Self {
        Self::new()
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }
}

impl<T: Field> Fields for LiteMap<String, T> {
    fn each(&self, put: &mut dyn FnMut(&str, Node<'_>)) {
        for (name, one) in self.iter() {
            put(name, one.node());
        }
    }
}
