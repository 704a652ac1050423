//! Which rows of the rulebooks look at a cure, and what they leave room for.

use super::{CureLabel, Ingoing, Method, Product};
use crate::curing::rule::{Comparator, Country, Kind, Limit, Rulebook};
use crate::curing::rulebook;
use crate::quantity::{Fraction, WeightBasis};
use chrono::NaiveDate;

/// What is judged: product, methods, country and day.
#[derive(Debug, Clone, PartialEq)]
pub struct Scope {
    /// What the meat becomes.
    pub product: Product,
    /// The methods used on one piece, usually one.
    pub methods: Vec<Method>,
    /// The member's country; `None` looks at every country's rulebook.
    pub country: Option<Country>,
    /// The day that decides which rows are in force.
    pub day: NaiveDate,
}

/// What a row leaves room for, as parts of a given cure per part of the weight that counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The share of cure at the row's figure.
    pub share: Fraction,
    /// The row.
    pub row: &'static Limit,
}

impl Scope {
    /// One method.
    pub fn new(product: Product, method: Method, country: Option<Country>, day: NaiveDate) -> Self {
        Self { product, methods: vec![method], country, day }
    }

    /// Every row that looks at nitrite or nitrate here, in the order of the rulebooks.
    pub fn rows(&self) -> Vec<&'static Limit> {
        self.rulebooks()
            .iter()
            .flat_map(|book| rulebook::of(*book, self.day))
            .filter(|row| is_of_the_cure(row) && self.is_for(row))
            .collect()
    }

    /// Rows that ask for a salt content: the country's own and the custom of the trade.
    pub(super) fn salt_rows(&self) -> Vec<&'static Limit> {
        self.rulebooks()
            .iter()
            .copied()
            .chain([Rulebook::Trade])
            .flat_map(|book| rulebook::of(book, self.day))
            .filter(|row| row.figure == "salt" && self.is_for(row))
            .collect()
    }

    /// The row that caps this cure lowest, by the label's nitrite, nitrate or their sum. `None` where no row does.
    ///
    /// A required level caps at the top of its band.
    pub fn most(&self, label: &CureLabel) -> Option<Bound> {
        self.bounds(label, |row| match row.kind {
            Kind::Maximum if row.comparator != Comparator::AtLeast => row.value,
            Kind::Prohibited => Some(0.0),
            Kind::Required => row.band_high,
            _ => None,
        })
        .min_by(|a, b| a.share.as_one().total_cmp(&b.share.as_one()))
    }

    /// The row that asks for the most of this cure. Without a country no minimum counts: the rulebooks contradict
    /// one another, and a dose that one asks for is over in the next.
    pub fn least(&self, label: &CureLabel) -> Option<Bound> {
        self.country.as_ref()?;
        self.bounds(label, |row| match row.kind {
            Kind::Minimum => row.value,
            Kind::Required => row.band_low,
            _ => None,
        })
        .max_by(|a, b| a.share.as_one().total_cmp(&b.share.as_one()))
    }

    /// The required level, where a row demands one.
    pub fn required(&self) -> Option<&'static Limit> {
        self.rows().into_iter().find(|row| row.kind == Kind::Required && row.figure == "nitrite")
    }

    fn bounds(
        &self,
        label: &CureLabel,
        figure: impl Fn(&Limit) -> Option<f64>,
    ) -> impl Iterator<Item = Bound> {
        // What a part of pure cure per part of meat would bring, in each row's own unit and basis.
        let undiluted = Ingoing::of_share(label, Fraction::of_one(1.0), WeightBasis::GreenWeight);
        self.rows().into_iter().filter(|row| self.binds(row)).filter_map(move |row| {
            let brings = measured(row, &undiluted).filter(|brings| *brings > 0.0)?;
            let share = Fraction::of_one(figure(row)? / brings);
            Some(Bound { share, row })
        })
    }

    fn rulebooks(&self) -> Vec<Rulebook> {
        self.country.as_ref().map_or_else(|| Rulebook::COUNTRIES.to_vec(), |country| vec![country.rulebook()])
    }

    /// Whether the row is for this product, one of the methods and this member state.
    fn is_for(&self, row: &Limit) -> bool {
        // However the cure goes into a sausage, a sausage is comminuted meat.
        let comminuted = [Method::Comminuted];
        let methods: &[Method] = match self.product {
            Product::Sausage => &comminuted,
            _ => &self.methods,
        };
        let state = self.country.as_ref().map_or("", Country::code);
        // A member of no particular state is told that a stricter one exists; another state's member is not.
        let whole_rulebook = self.country.is_none() || state == "EU";
        let in_state = row.states.is_empty() || whole_rulebook || row.states.iter().any(|it| it == state);
        in_state && methods.iter().any(|method| row.is_for(self.product.word(), method.word()))
    }

    /// Whether a row of particular member states binds this member; elsewhere it is only mentioned.
    pub(super) fn binds(&self, row: &Limit) -> bool {
        row.states.is_empty()
            || self
                .country
                .as_ref()
                .is_some_and(|country| row.states.iter().any(|state| state == country.code()))
    }
}

fn is_of_the_cure(row: &Limit) -> bool {
    matches!(
        row.figure.as_str(),
        "nitrite" | "nitrate" | "nitrite_and_nitrate" | "ascorbate" | "water_activity"
    )
}

/// The figure a row speaks of, in the row's own unit and basis; `None` where an added amount has no such figure.
pub(super) fn measured(row: &Limit, ingoing: &Ingoing) -> Option<f64> {
    let by = |whole: f64| row.counted_as.map_or(whole, |basis| ingoing.counted_as(basis).mg_per_kg());
    match row.figure.as_str() {
        "nitrite" => Some(by(ingoing.nitrite_by_weight())),
        "nitrate" => Some(by(ingoing.nitrate_by_weight())),
        "nitrite_and_nitrate" => Some(ingoing.nitrite_by_weight() + ingoing.nitrate_by_weight()),
        _ => None,
    }
}
