//! The shop's settings, and its devices.

// Settings.
catalogue! {
    SETTINGS:
    nobody: "nobody in particular", "niemand Bestimmtes", "nadie en particular";
    units_trade: "vacuum in inHg, else metric", "Unterdruck in inHg, sonst metrisch", "vacío en inHg, lo demás métrico";
    units_metric: "metric, pressures in kPa", "metrisch, Drücke in kPa", "métrico, presiones en kPa";
    units_si: "SI units without prefixes", "SI-Einheiten ohne Vorsätze", "unidades SI sin prefijos";
    this_device: "This device", "Dieses Gerät", "Este dispositivo";
    who_stands: "Who stands here", "Wer hier steht", "Quién está aquí";
    units: "Units", "Einheiten", "Unidades";
    keep_on_device: "Keep on this device", "Auf diesem Gerät speichern", "Guardar en este dispositivo";
    currency: "Currency, its letters or sign", "Währung, Buchstaben oder Zeichen", "Moneda, sus letras o signo";
    hour_rate: "An hour of work before tax", "Eine Arbeitsstunde vor Steuer", "Una hora de trabajo antes de impuestos";
    tax_rate: "Tax on work and parts, %", "Steuer auf Arbeit und Teile, %", "Impuesto sobre trabajo y piezas, %";
    keep: "Keep", "Speichern", "Guardar";
    people_place: "People, place, instruments", "Leute, Ort, Messgeräte", "Personas, lugar, instrumentos";
    people: "People, one name a line", "Leute, ein Name je Zeile", "Personas, un nombre por línea";
    shop_altitude: "Altitude of the shop, m", "Höhe der Werkstatt, m", "Altitud del taller, m";
    own_instruments: "Own instruments, one a line: sort, colon, name, and behind = how right it is",
        "Eigene Messgeräte, eines je Zeile: Art, Doppelpunkt, Name, und hinter = die Genauigkeit",
        "Instrumentos propios, uno por línea: tipo, dos puntos, nombre, y tras = su exactitud";
    instrument_example: "vacuum gauge: the old one = class 1.6", "Unterdruckmanometer: das alte = Klasse 1,6", "vacuómetro: el viejo = clase 1,6";
    sorts(sorts): "Sorts: {sorts}.", "Arten: {sorts}.", "Tipos: {sorts}.";
    exact_class: "class", "Klasse", "clase";
    exact_grade: "grade", "Grad", "grado";
    exact_of: "of", "von", "de";
    exact_digits: "digits", "Digits", "dígitos";
    exact_digit: "digit", "Digit", "dígito";
    accuracy_stands: "How right it is stands on the dial or in the manual:", "Wie genau es ist, steht auf dem Zifferblatt oder in der Anleitung:",
        "Su exactitud figura en la esfera o en el manual:";
    accuracy_else: "; without it, as such instruments usually are. Its name makes its error its own, so that two gauges can disagree.",
        "; ohne Angabe wie bei solchen Geräten üblich. Der Name macht den Fehler zum eigenen des Geräts, so dass zwei Manometer sich widersprechen können.",
        "; sin ella, la habitual en esos instrumentos. Su nombre hace que su error sea propio, de modo que dos manómetros pueden discrepar.";
}

// Devices.
catalogue! {
    DEVICES:
    added_at_machine: "Another device is added at the shop's machine.", "Ein weiteres Gerät wird am Rechner der Werkstatt hinzugefügt.",
        "Otro dispositivo se añade en la máquina del taller.";
    paired: "Paired", "Gekoppelt", "Vinculados";
    none_paired: "No device is paired.", "Kein Gerät ist gekoppelt.", "Ningún dispositivo está vinculado.";
    only_this_machine: "Only this machine can come in now. For phones and tablets, close the shop and open it on its network:",
        "Jetzt kommt nur dieser Rechner herein. Für Telefone und Tablets das Programm beenden und im Netz der Werkstatt öffnen:",
        "Ahora solo puede entrar esta máquina. Para teléfonos y tabletas, cierre el programa y ábralo en la red del taller:";
    address: "Address: ", "Adresse: ", "Dirección: ";
    compare_fingerprint: "The device will say that it does not know who vouches for the shop: nobody but the shop does. Compare the certificate's SHA-256 fingerprint there with this one, then go on:",
        "Das Gerät wird sagen, dass es nicht weiß, wer für die Werkstatt bürgt: niemand außer ihr selbst. Den SHA-256-Fingerabdruck des Zertifikats dort mit diesem vergleichen, dann fortfahren:",
        "El dispositivo dirá que no sabe quién responde por el taller: nadie más que el taller. Compare allí la huella SHA-256 del certificado con esta, y siga:";
    new_code: "New code", "Neuer Code", "Código nuevo";
    paired_on: "paired ", "gekoppelt ", "vinculado ";
    last_here: ", last here ", ", zuletzt hier ", ", última vez aquí ";
    revoke: "Revoke", "Sperren", "Revocar";
    revoke_this(name): "Revoke {name}", "{name} sperren", "Revocar {name}";
    code_to_scan: "Code to scan", "Code zum Scannen", "Código para escanear";
    pair_title: "Pair a device", "Ein Gerät koppeln", "Vincular un dispositivo";
    pair_makes: "This makes the device in your hand one of the shop's: it can then see and write every job.",
        "Damit gehört das Gerät in der Hand zur Werkstatt: es kann dann jeden Auftrag sehen und beschreiben.",
        "Esto hace del dispositivo en su mano uno del taller: podrá ver y escribir todos los trabajos.";
    code_shown: "The code that the shop's machine shows", "Der Code, den der Rechner der Werkstatt zeigt", "El código que muestra la máquina del taller";
    device_name: "What to call this device", "Wie dieses Gerät heißen soll", "Cómo llamar a este dispositivo";
    device_example: "for instance: phone of the first bay", "zum Beispiel: Telefon vom ersten Platz", "por ejemplo: teléfono del primer puesto";
    pair_this: "Pair this device", "Dieses Gerät koppeln", "Vincular este dispositivo";
}
counted! {
    MINUTES:
    scan_this(minutes): ["Scan this with the device, or type the address and the code there. It is good for one device and {minutes} minute.",
            "Scan this with the device, or type the address and the code there. It is good for one device and {minutes} minutes."],
        ["Dies mit dem Gerät scannen, oder Adresse und Code dort eintippen. Es gilt für ein Gerät und {minutes} Minute.",
            "Dies mit dem Gerät scannen, oder Adresse und Code dort eintippen. Es gilt für ein Gerät und {minutes} Minuten."],
        ["Escanee esto con el dispositivo, o escriba allí la dirección y el código. Vale para un dispositivo y {minutes} minuto.",
            "Escanee esto con el dispositivo, o escriba allí la dirección y el código. Vale para un dispositivo y {minutes} minutos."];
}
