//! What members do with commands, buttons and forms.

use serde_json::{Value, json};

use super::clock::Id;
use super::payload::{Begun, begin, command_data, menu_data};
use super::seen::Handle;
use super::{SOON, StandIn, State};

/// How the fields of a submitted form are wrapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Each text input in an action row.
    Classic,
    /// Each text input in a label, as forms made of labels come back.
    Labelled,
}

impl StandIn {
    /// A member sends a slash command: `slash(anna, log, "cure check", &[("method", "dry")])`.
    pub fn slash(&self, user: Id, channel: Id, line: &str, options: &[(&str, &str)]) -> Handle {
        self.start_interaction(|state| {
            let (name, data) = command_data(state, user, channel, line, options, None);
            Begun { kind: 2, user, channel, name, source: None, data }
        })
    }

    /// A member types in an option: the suggestions as name and value.
    pub async fn autocomplete(
        &self,
        user: Id,
        channel: Id,
        line: &str,
        options: &[(&str, &str)],
        focused: &str,
    ) -> Vec<(String, Value)> {
        let handle = self.type_in(user, channel, line, options, focused);
        let choices =
            self.inner.until(SOON, |state| state.world.interactions[&handle.id].choices.clone()).await;
        let choices = choices.unwrap_or_else(|| panic!("no suggestions for `{line}`:\n{}", handle.dump()));
        let named =
            |choice: Value| (choice["name"].as_str().unwrap_or_default().to_owned(), choice["value"].clone());
        choices.into_iter().map(named).collect()
    }

    /// A member types in an option, without waiting for suggestions.
    pub fn type_in(
        &self,
        user: Id,
        channel: Id,
        line: &str,
        options: &[(&str, &str)],
        focused: &str,
    ) -> Handle {
        self.start_interaction(|state| {
            let (name, data) = command_data(state, user, channel, line, options, Some(focused));
            Begun { kind: 4, user, channel, name, source: None, data }
        })
    }

    /// A member picks a command from a message's menu.
    pub fn menu(&self, user: Id, message: Id, name: &str) -> Handle {
        self.start_interaction(|state| {
            let data = menu_data(state, user, message, name);
            let channel = state.world.message(message).unwrap().channel;
            Begun { kind: 2, user, channel, name: name.to_owned(), source: None, data }
        })
    }

    /// A member presses a button.
    pub fn click(&self, user: Id, message: Id, custom_id: &str) -> Handle {
        self.use_part(user, message, custom_id, None)
    }

    /// A member picks from a list.
    pub fn select(&self, user: Id, message: Id, custom_id: &str, values: &[&str]) -> Handle {
        self.use_part(user, message, custom_id, Some(values))
    }

    fn use_part(&self, user: Id, message: Id, custom_id: &str, values: Option<&[&str]>) -> Handle {
        self.start_interaction(|state| {
            let found = state.world.message(message).expect("no such message");
            if found.ephemeral() {
                let owner = found.interaction.map(|id| state.world.interactions[&id].user);
                assert_eq!(owner, Some(user), "only the one it was shown to can press here");
            }
            let part = part(&found.components, custom_id);
            assert!(part["disabled"] != true, "`{custom_id}` is greyed out");
            let mut data =
                json!({ "id": part["id"], "custom_id": custom_id, "component_type": part["type"] });
            if let Some(values) = values {
                for value in values {
                    let offered = part["options"].as_array().into_iter().flatten();
                    assert!(
                        offered.into_iter().any(|option| option["value"] == *value),
                        "`{value}` is not offered"
                    );
                }
                data["values"] = json!(values);
            }
            let (channel, name) = (found.channel, custom_id.to_owned());
            Begun { kind: 3, user, channel, name, source: Some(message), data }
        })
    }

    /// A member fills in and sends the form that an interaction opened; fields not named keep what stood there.
    pub fn submit_form(&self, opened: &Handle, fields: &[(&str, &str)], form: Form) -> Handle {
        self.start_interaction(|state| {
            let by = state.world.interactions[&opened.id].clone();
            let modal = by.modal.expect("this opened no form");
            let mut rows = Vec::new();
            let mut known = Vec::new();
            for row in modal["components"].as_array().into_iter().flatten() {
                let input = if row["type"] == 18 { &row["component"] } else { &row["components"][0] };
                let id = input["custom_id"].as_str().unwrap();
                known.push(id);
                let prefilled = input["value"].as_str().unwrap_or_default();
                let value = fields.iter().find(|(key, _)| *key == id).map_or(prefilled, |(_, value)| value);
                check_input(input, value);
                let number = rows.len() * 2 + 1;
                let inner = json!({ "type": 4, "id": number + 1, "custom_id": id, "value": value });
                rows.push(match form {
                    Form::Classic => json!({ "type": 1, "id": number, "components": [inner] }),
                    Form::Labelled => json!({ "type": 18, "id": number, "component": inner }),
                });
            }
            for (key, _) in fields {
                assert!(known.contains(key), "the form has no field `{key}`; it has {known:?}");
            }
            let name = modal["custom_id"].as_str().unwrap().to_owned();
            let data = json!({ "custom_id": name, "components": rows });
            Begun { kind: 5, user: by.user, channel: by.channel, name, source: by.source, data }
        })
    }

    /// Starts any interaction, for what the others do not cover.
    pub fn start_interaction(&self, make: impl FnOnce(&State) -> Begun) -> Handle {
        let id = self.inner.with(|state| {
            let begun = make(state);
            begin(state, begun)
        });
        Handle { id, inner: self.inner.clone() }
    }
}

/// What the app checks before it sends a form.
fn check_input(input: &Value, value: &str) {
    let (id, long) = (&input["custom_id"], value.chars().count() as u64);
    assert!(long > 0 || input["required"] == false, "{id} must be filled in");
    if long > 0 {
        assert!(
            input["min_length"].as_u64().is_none_or(|least| long >= least),
            "{id}: `{value}` is too short"
        );
    }
    assert!(long <= input["max_length"].as_u64().unwrap_or(4000), "{id}: `{value}` is too long");
}

/// The button or list with this id.
fn part(rows: &Value, custom_id: &str) -> Value {
    let parts = || {
        rows.as_array()
            .into_iter()
            .flatten()
            .flat_map(|row| row["components"].as_array().into_iter().flatten())
    };
    let found = parts().find(|part| part["custom_id"] == custom_id);
    found.cloned().unwrap_or_else(|| {
        let known: Vec<&Value> = parts().map(|part| &part["custom_id"]).collect();
        panic!("there is no `{custom_id}` to press; there are {known:?}")
    })
}
