//! A tag: a type of a few words, each spelled once.

/// A word that is none of a tag's words.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{found}` is no {tag}; known words are {known:?}")]
pub struct UnknownTag {
    /// Which tag was read.
    pub tag: &'static str,
    /// The word found.
    pub found: String,
    /// The words it could have been.
    pub known: &'static [&'static str],
}

macro_rules! tags {
    ($($(#[$doc:meta])* $name:ident { $($(#[$word_doc:meta])* $word:ident = $text:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $($(#[$word_doc])* $word),+ }

        impl $name {
            /// All words, in the vocabulary's order.
            pub const ALL: &'static [Self] = &[$(Self::$word),+];
            /// All spellings, in the vocabulary's order.
            pub const WORDS: &'static [&'static str] = &[$($text),+];

            /// The word, as the vocabulary spells it.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$word => $text),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.as_str())
            }
        }

        impl std::str::FromStr for $name {
            type Err = super::tag::UnknownTag;
            fn from_str(word: &str) -> Result<Self, super::tag::UnknownTag> {
                match word {
                    $($text => Ok(Self::$word),)+
                    _ => Err(super::tag::UnknownTag { tag: stringify!($name), found: word.into(), known: Self::WORDS }),
                }
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.as_str())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let word = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
                word.parse().map_err(serde::de::Error::custom)
            }
        }

        impl $crate::column::Column for $name {
            const KIND: $crate::column::Kind = $crate::column::Kind::Tag(Self::WORDS);
            fn blank() -> Self {
                Self::ALL[0]
            }
        }
    )+};
}

pub(super) use tags;
