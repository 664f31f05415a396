//! The frame, the list of jobs, taking a vehicle in, and what could not be done.

// The frame.
catalogue! {
    FRAME:
    jobs: "Jobs", "Aufträge", "Trabajos";
    circuits: "Circuits", "Systeme", "Circuitos";
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
    SCRIPTS:
    waiting: "Kept on this device until the shop answers: {{n}}.",
        "Auf diesem Gerät gespeichert, bis die Werkstatt antwortet: {{n}}.",
        "Guardado en este dispositivo hasta que el taller responda: {{n}}.";
    refused: "Not taken:", "Nicht angenommen:", "No aceptado:";
    to_its_page: "To its page", "Zu seiner Seite", "A su página";
    too_long: "Too long to send: the shop takes a megabyte at a time. Nothing was sent; what is typed stays here.",
        "Zu lang zum Senden: Die Werkstatt nimmt ein Megabyte auf einmal. Nichts wurde gesendet; was getippt ist, bleibt hier.",
        "Demasiado largo para enviarlo: el taller recibe un megabyte cada vez. No se envió nada; lo escrito se queda aquí.";
    not_sent: "The shop does not answer, and this browser does not keep this. Leave the page open and send it again.",
        "Die Werkstatt antwortet nicht, und dieser Browser speichert dies nicht. Die Seite offen lassen und noch einmal senden.",
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
    JOBS:
    search_words: "Words of the vehicle or the complaint", "Wörter zum Fahrzeug oder zur Beanstandung", "Palabras del vehículo o de la queja";
    search: "Search", "Suchen", "Buscar";
    take_in: "Take a vehicle in", "Fahrzeug annehmen", "Recibir un vehículo";
    no_jobs: "No jobs yet.", "Noch keine Aufträge.", "Todavía no hay trabajos.";
    none_found: "No job has all of these words.", "Kein Auftrag enthält alle diese Wörter.", "Ningún trabajo tiene todas estas palabras.";
    all_jobs: "All jobs", "Alle Aufträge", "Todos los trabajos";
    no_vehicle: "vehicle without words", "Fahrzeug ohne Angabe", "vehículo sin descripción";
    no_complaint: "no complaint noted", "keine Beanstandung notiert", "sin queja anotada";
    codes: "Trouble codes", "Fehlercodes", "Códigos de avería";
    circuit: "Circuit", "System", "Circuito";
    circuit_of_code: "the one that the code leads to", "das, zu dem der Code führt", "aquel al que lleva el código";
    complaint: "The customer's words", "Worte des Kunden", "Palabras del cliente";
    vehicle: "Vehicle, in your own words", "Fahrzeug, in eigenen Worten", "Vehículo, en sus propias palabras";
    more_intake: "Distance, altitude, what it may cost", "Kilometerstand, Höhe, was es kosten darf", "Distancia, altitud, cuánto puede costar";
    odometer: "Distance driven, km", "Gefahrene Strecke, km", "Distancia recorrida, km";
    altitude: "Altitude, m", "Höhe, m", "Altitud, m";
    limit: "What the customer will spend", "Was der Kunde ausgeben will", "Lo que el cliente gastará";
    invented: "An invented example", "Ein erfundenes Beispiel", "Un ejemplo inventado";
    take_it_in: "Take it in", "Annehmen", "Recibir";
}

// What could not be done.
catalogue! {
    NOT_DONE:
    not_found: "Not found", "Nicht gefunden", "No encontrado";
    did_not_work: "That did not work", "Das ging nicht", "Eso no funcionó";
    not_taken: "Not taken", "Nicht angenommen", "No aceptado";
    to_jobs: "To the jobs", "Zu den Aufträgen", "A los trabajos";
}
