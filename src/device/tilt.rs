//! The phone's tilt sensor.

use crate::signal::RwSignal;
use leptos::prelude::*;
use std::collections::VecDeque;
use trimwright::reading::{Tilt, TiltAverage, TiltSample};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::DeviceOrientationEvent;

/// How long samples count, milliseconds.
const SPAN_MS: f64 = 2000.0;
/// How long to wait for a first sample before the phone is said to have no sensor, milliseconds.
const PATIENCE_MS: i32 = 1200;

/// What the sensor is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum SensorState {
    /// Not asked.
    #[default]
    Idle,
    /// Reading.
    Reading,
    /// This browser or phone gives no tilt.
    Absent,
    /// The person or the browser said no.
    Refused,
}

#[wasm_bindgen]
extern "C" {
    /// The constructor as iOS has it, with its question to the person.
    #[wasm_bindgen(js_name = DeviceOrientationEvent)]
    type Asking;

    #[wasm_bindgen(catch, static_method_of = Asking, js_class = "DeviceOrientationEvent", js_name = requestPermission)]
    fn request_permission() -> Result<js_sys::Promise, JsValue>;
}

/// The tilt sensor, listening only while it is asked to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TiltSensor {
    /// What it is doing.
    pub(crate) state: RwSignal<SensorState>,
    /// List and trim over the last two seconds.
    pub(crate) tilt: RwSignal<Option<Tilt>>,
    samples: StoredValue<VecDeque<(f64, TiltSample)>>,
    listener: StoredValue<Option<WindowListenerHandle>, LocalStorage>,
    /// Counts the readings begun, so that a late answer to an old one is passed over.
    turn: StoredValue<u32>,
    /// The person was asked and said yes.
    allowed: StoredValue<bool>,
}

impl TiltSensor {
    /// A sensor at rest.
    pub(crate) fn new() -> Self {
        let sensor = Self {
            state: RwSignal::new(SensorState::Idle),
            tilt: RwSignal::new(None),
            samples: StoredValue::new(VecDeque::new()),
            listener: StoredValue::new_local(None),
            turn: StoredValue::new(0),
            allowed: StoredValue::new(false),
        };
        on_cleanup(move || sensor.stop());
        sensor
    }

    /// True while the person has still to be asked (iOS). The question counts as asked only from
    /// the end of a tap, so a press must then not begin to read.
    pub(crate) fn must_ask(self) -> bool {
        !self.allowed.get_value() && has_permission_question()
    }

    /// Which reading this is, counted from the first.
    pub(crate) fn turn(self) -> u32 {
        self.turn.get_value()
    }

    /// Begins to read. Call it from a tap: iOS asks the person, and only then.
    pub(crate) fn start(self) {
        self.stop();
        self.samples.update_value(VecDeque::clear);
        self.tilt.set(None);
        self.state.set(SensorState::Reading);
        self.turn.update_value(|t| *t = t.wrapping_add(1));
        let turn = self.turn.get_value();
        if !has(&window(), "DeviceOrientationEvent") {
            self.state.set(SensorState::Absent);
            return;
        }
        let asked = self.must_ask().then(Asking::request_permission);
        match asked {
            None => self.listen(),
            Some(Err(_refused)) => self.state.set(SensorState::Refused),
            Some(Ok(promise)) => spawn_local(async move {
                let answer = JsFuture::from(promise).await;
                if self.turn.get_value() != turn {
                    return;
                }
                match answer {
                    Ok(word) if word.as_string().as_deref() == Some("granted") => {
                        self.allowed.set_value(true);
                        self.listen();
                    }
                    _ => self.state.set(SensorState::Refused),
                }
            }),
        }
    }

    /// Stops listening; what was read stays in [`TiltSensor::tilt`].
    pub(crate) fn stop(self) {
        let held = self.listener.try_update_value(Option::take).flatten();
        if let Some(handle) = held {
            handle.remove();
        }
        if self.state.try_get_untracked() == Some(SensorState::Reading) {
            self.state.set(SensorState::Idle);
        }
    }

    fn listen(self) {
        let handle = window_event_listener_untyped("deviceorientation", move |event| {
            if let Some(event) = event.dyn_ref::<DeviceOrientationEvent>() {
                self.take(event);
            }
        });
        self.listener.set_value(Some(handle));
        let turn = self.turn.get_value();
        set_timeout(
            move || {
                let waiting = self.turn.try_get_value() == Some(turn)
                    && self.state.try_get_untracked() == Some(SensorState::Reading)
                    && self.tilt.try_get_untracked() == Some(None);
                if waiting {
                    self.stop();
                    self.state.set(SensorState::Absent);
                }
            },
            std::time::Duration::from_millis(PATIENCE_MS.unsigned_abs().into()),
        );
    }

    fn take(self, event: &DeviceOrientationEvent) {
        // A desktop browser sends one event with nothing in it.
        let (Some(beta), Some(gamma)) = (event.beta(), event.gamma()) else { return };
        let now = event.time_stamp();
        self.samples.update_value(|samples| {
            samples.push_back((now, TiltSample { beta, gamma }));
            while samples.front().is_some_and(|(t, _)| now - t > SPAN_MS) {
                samples.pop_front();
            }
        });
        let mut average = TiltAverage::default();
        self.samples.with_value(|samples| samples.iter().for_each(|(_, s)| average.add(*s)));
        self.tilt.set(average.tilt());
    }
}

fn has(target: &JsValue, name: &str) -> bool {
    js_sys::Reflect::has(target, &name.into()).unwrap_or(false)
}

/// True on iOS, where the constructor carries the question.
fn has_permission_question() -> bool {
    js_sys::Reflect::get(&window(), &"DeviceOrientationEvent".into())
        .is_ok_and(|constructor| has(&constructor, "requestPermission"))
}
