//! The bay's own sentences, one function each. A sentence without a text in every language does not compile, nor does a
//! text that names what it is not given.

use super::{Language, manner};
use std::fmt::Display;

/// `key: English, German, Spanish;` or `key(given): ...;` with `{given}` in the texts.
macro_rules! catalogue {
    ($($key:ident $(($($given:ident),+))?: $english:literal, $german:literal, $spanish:literal;)+) => {
        $(pub(crate) fn $key($($($given: impl Display),+)?) -> String {
            match manner().language {
                Language::English => format!($english),
                Language::German => format!($german),
                Language::Spanish => format!($spanish),
            }
        })+
    };
}

/// The same with a number that chooses between one and several.
macro_rules! counted {
    ($($key:ident ($count:ident $(, $given:ident)*): $english:tt, $german:tt, $spanish:tt;)+) => {
        $(pub(crate) fn $key($count: usize $(, $given: impl Display)*) -> String {
            match manner().language {
                Language::English => counted!(@ $count, $english),
                Language::German => counted!(@ $count, $german),
                Language::Spanish => counted!(@ $count, $spanish),
            }
        })+
    };
    (@ $count:ident, [$one:literal, $several:literal]) => {
        if $count == 1 { format!($one) } else { format!($several) }
    };
}

// The frame.
catalogue! {
    jobs: "Jobs", "Aufträge", "Trabajos";
    circuits: "Circuits", "Schaltungen", "Circuitos";
    practice: "Practice", "Üben", "Práctica";
    devices: "Devices", "Geräte", "Dispositivos";
    shop: "Shop", "Werkstatt", "Taller";
    to_content: "Skip to the content", "Zum Inhalt springen", "Ir al contenido";
    comes_first: "The vehicle maker's service information, local law and licensed practice come first.",
        "Die Serviceangaben des Fahrzeugherstellers, örtliches Recht und zugelassene Fachpraxis gehen vor.",
        "La información de servicio del fabricante del vehículo, la ley local y la práctica autorizada van primero.";
}

// What scripts say; `{{n}}` stands for a number that they know.
catalogue! {
    waiting: "Kept on this device until the shop answers: {{n}}.",
        "Auf diesem Gerät aufgehoben, bis die Werkstatt antwortet: {{n}}.",
        "Guardado en este dispositivo hasta que el taller responda: {{n}}.";
    refused: "Not taken:", "Nicht angenommen:", "No aceptado:";
    to_its_page: "To its page", "Zu seiner Seite", "A su página";
    too_long: "Too long to send: the shop takes a megabyte at a time. Nothing was sent; what is typed stays here.",
        "Zu lang zum Senden: Die Werkstatt nimmt ein Megabyte auf einmal. Nichts wurde gesendet; was getippt ist, bleibt hier.",
        "Demasiado largo para enviarlo: el taller recibe un megabyte cada vez. No se envió nada; lo escrito se queda aquí.";
    not_sent: "The shop does not answer, and this browser does not keep this. Leave the page open and send it again.",
        "Die Werkstatt antwortet nicht, und dieser Browser hebt dies nicht auf. Die Seite offen lassen und noch einmal senden.",
        "El taller no responde y este navegador no guarda esto. Deje la página abierta y envíelo otra vez.";
    discard: "Discard", "Verwerfen", "Descartar";
    meanwhile: "Meanwhile others went on; what you are typing here is kept.",
        "Inzwischen haben andere weitergemacht; was hier getippt wird, bleibt.",
        "Mientras tanto otros han seguido; lo que escribe aquí se conserva.";
    leave_it: "Leave it and go on", "Lassen und weiter", "Dejarlo y seguir";
    number_pad: "Number pad", "Ziffernblock", "Teclado numérico";
    last_digit_back: "Take the last digit back", "Letzte Ziffer zurücknehmen", "Quitar la última cifra";
    minus: "Minus", "Minus", "Menos";
    own_keys: "The device's own keys", "Tastatur des Geräts", "Teclado del dispositivo";
}

// The list of jobs, and taking a vehicle in.
catalogue! {
    search_words: "Words of the vehicle or the complaint", "Wörter zum Fahrzeug oder zur Beanstandung", "Palabras del vehículo o de la queja";
    search: "Search", "Suchen", "Buscar";
    take_in: "Take a vehicle in", "Fahrzeug annehmen", "Recibir un vehículo";
    no_jobs: "No jobs yet.", "Noch keine Aufträge.", "Todavía no hay trabajos.";
    none_found: "No job has all of these words.", "Kein Auftrag enthält alle diese Wörter.", "Ningún trabajo tiene todas estas palabras.";
    all_jobs: "All jobs", "Alle Aufträge", "Todos los trabajos";
    no_vehicle: "vehicle without words", "Fahrzeug ohne Angabe", "vehículo sin descripción";
    no_complaint: "no complaint noted", "keine Beanstandung notiert", "sin queja anotada";
    codes: "Trouble codes", "Fehlercodes", "Códigos de avería";
    circuit: "Circuit", "Schaltung", "Circuito";
    circuit_of_code: "the one that the code leads to", "die, zu der der Code führt", "aquel al que lleva el código";
    complaint: "The customer's words", "Worte des Kunden", "Palabras del cliente";
    vehicle: "Vehicle, in your own words", "Fahrzeug, in eigenen Worten", "Vehículo, en sus propias palabras";
    more_intake: "Distance, altitude, what it may cost", "Kilometerstand, Höhe, was es kosten darf", "Distancia, altitud, cuánto puede costar";
    odometer: "Distance driven, km", "Gefahrene Strecke, km", "Distancia recorrida, km";
    altitude: "Altitude, m", "Höhe, m", "Altitud, m";
    limit: "What the customer will spend", "Was der Kunde ausgeben will", "Lo que el cliente gastará";
    invented: "An invented example", "Ein erfundenes Beispiel", "Un ejemplo inventado";
    take_it_in: "Take it in", "Annehmen", "Recibir";
}

// A check.
catalogue! {
    check: "Check", "Prüfung", "Comprobación";
    next_check: "Next check", "Nächste Prüfung", "Siguiente comprobación";
    whole_plan: "The whole plan from here", "Der ganze Plan von hier an", "El plan completo desde aquí";
    all_checks: "All checks", "Alle Prüfungen", "Todas las comprobaciones";
    spares(gain): "spares {gain}", "spart {gain}", "ahorra {gain}";
    open: "Open", "Öffnen", "Abrir";
    when: "When", "Wann", "Cuándo";
    to_do: "Do", "Tun", "Hacer";
    expect: "What to expect", "Was zu erwarten ist", "Qué esperar";
    why_this: "Why this one:", "Warum diese:", "Por qué esta:";
    it_was: "It was:", "Es war:", "Era:";
    is_closed: "The job is closed: reopen it to note a reading.",
        "Der Auftrag ist abgeschlossen: zum Notieren wieder öffnen.",
        "El trabajo está cerrado: ábralo de nuevo para anotar una lectura.";
    yes: "Yes", "Ja", "Sí";
    no: "No", "Nein", "No";
    what_shows: "What does the instrument show?", "Was zeigt das Messgerät?", "¿Qué muestra el instrumento?";
    unit: "Unit", "Einheit", "Unidad";
    note_it: "Note it", "Notieren", "Anotar";
    more_than: "More than", "Mehr als", "Más de";
    less_than: "Less than", "Weniger als", "Menos de";
    could_not: "Could not do it", "Ging nicht", "No se pudo";
    more_reading: "Instrument, minutes", "Messgerät, Minuten", "Instrumento, minutos";
    own_instrument: "The shop's own instrument", "Messgerät der Werkstatt", "Instrumento del taller";
    usual_instrument: "the usual one", "das übliche", "el habitual";
    other_instrument: "Another instrument, by any name", "Anderes Messgerät, beliebiger Name", "Otro instrumento, con cualquier nombre";
    minutes_taken: "Minutes it took", "Minuten, die es dauerte", "Minutos que llevó";
}
counted! {
    caution_read(count): ["I have read this caution", "I have read these cautions"],
        ["Ich habe diese Warnung gelesen", "Ich habe diese Warnungen gelesen"],
        ["He leído esta advertencia", "He leído estas advertencias"];
}

// A job, its parts and joints.
catalogue! {
    job(number): "Job {number}", "Auftrag {number}", "Trabajo {number}";
    invented_mark: "invented example", "erfundenes Beispiel", "ejemplo inventado";
    no_check_left: "No check is left", "Keine Prüfung mehr übrig", "No queda ninguna comprobación";
    look_beyond: "No check is left on this circuit: look beyond it.",
        "In dieser Schaltung ist keine Prüfung mehr übrig: weiter außen suchen.",
        "No queda ninguna comprobación en este circuito: busque fuera de él.";
    another_check: "Another check instead", "Stattdessen eine andere Prüfung", "Otra comprobación en su lugar";
    suspects: "Suspects", "Verdächtige", "Sospechosos";
    about(part): "About {part}", "Über {part}", "Sobre {part}";
    undo: "Undo the last entry", "Letzten Eintrag zurücknehmen", "Deshacer la última entrada";
    readings_say: "What the readings say", "Was die Messungen sagen", "Qué dicen las lecturas";
    known_of_vehicle: "What is known of this vehicle", "Was von diesem Fahrzeug bekannt ist", "Qué se sabe de este vehículo";
    joint: "Joint", "Verbindung", "Unión";
    how_it_fails: "How it can fail", "Wie es ausfallen kann", "Cómo puede fallar";
    what_hurts: "What can hurt", "Was verletzen kann", "Qué puede herir";
    read_this: "I have read this", "Das habe ich gelesen", "Lo he leído";
    checks_here: "Checks here", "Prüfungen hier", "Comprobaciones aquí";
    none_here: "Nothing is left to check here.", "Hier ist nichts mehr zu prüfen.", "Aquí no queda nada que comprobar.";
    cost_if_first(cost): "expected cost until repaired if this comes first: {cost}",
        "erwartete Kosten bis zur Reparatur, wenn dies zuerst kommt: {cost}",
        "coste esperado hasta la reparación si esto va primero: {cost}";
    make_check: "Make this check", "Diese Prüfung machen", "Hacer esta comprobación";
}
counted! {
    others(count, together): ["{count} other, {together}", "{count} others, together {together}"],
        ["{count} weiterer, {together}", "{count} weitere, zusammen {together}"],
        ["{count} más, {together}", "{count} más, en total {together}"];
    done(count): ["What was done ({count})", "What was done ({count})"],
        ["Was getan wurde ({count})", "Was getan wurde ({count})"],
        ["Qué se hizo ({count})", "Qué se hizo ({count})"];
}

// What could not be done.
catalogue! {
    not_found: "Not found", "Nicht gefunden", "No encontrado";
    did_not_work: "That did not work", "Das ging nicht", "Eso no funcionó";
    not_taken: "Not taken", "Nicht angenommen", "No aceptado";
    to_jobs: "To the jobs", "Zu den Aufträgen", "A los trabajos";
}
