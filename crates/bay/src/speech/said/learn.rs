//! What the pages say that teach: the library of circuits, a circuit as text, what if, practice.

// The library.
catalogue! {
    CIRCUITS:
    circuit_words: "A code, a complaint, a part, a word", "Ein Code, eine Beanstandung, ein Teil, ein Wort", "Un código, una queja, una pieza, una palabra";
    describe_new: "Describe a new circuit", "Neues System beschreiben", "Describir un circuito nuevo";
    no_circuit_found: "No circuit has all of these words.", "Kein System enthält alle diese Wörter.", "Ningún circuito tiene todas estas palabras.";
    all_circuits: "All circuits", "Alle Systeme", "Todos los circuitos";
    kept_with_errors: "Kept with errors in them", "Mit Fehlern gespeichert", "Guardados con errores";
    what_if: "What if", "Was wäre, wenn", "Qué pasaría si";
    practice_on_it: "Practice on it", "Daran üben", "Practicar con él";
    take_in_on_it: "Take a vehicle in on it", "Fahrzeug darauf annehmen", "Recibir un vehículo con él";
    change: "Change", "Ändern", "Cambiar";
    copy_and_change: "Copy and change", "Kopieren und ändern", "Copiar y cambiar";
    parts: "Parts", "Teile", "Piezas";
    fails_as(kind, faults): ". {kind}, fails as: {faults}", ". {kind}, fällt aus als: {faults}", ". {kind}, falla como: {faults}";
    where_from: "Where the figures come from", "Woher die Zahlen kommen", "De dónde vienen las cifras";
    as_text: "The description as text", "Die Beschreibung als Text", "La descripción como texto";
}
counted! {
    COUNTS:
    count_parts(count): ["{count} part", "{count} parts"], ["{count} Teil", "{count} Teile"], ["{count} pieza", "{count} piezas"];
    count_checks(count): ["{count} check", "{count} checks"], ["{count} Prüfung", "{count} Prüfungen"], ["{count} comprobación", "{count} comprobaciones"];
    every_check(count): ["The {count} check", "All {count} checks"], ["Die {count} Prüfung", "Alle {count} Prüfungen"],
        ["La {count} comprobación", "Las {count} comprobaciones"];
}

// A circuit as text, and a new one.
catalogue! {
    DESCRIBING:
    change_circuit: "Change a circuit", "System ändern", "Cambiar un circuito";
    new_circuit: "A new circuit", "Ein neues System", "Un circuito nuevo";
    no_drawing_yet: "No drawing while there are errors.", "Keine Zeichnung, solange es Fehler gibt.", "Sin dibujo mientras haya errores.";
    drawn_when_kept: "So many parts are drawn once the circuit is kept.", "So viele Teile werden gezeichnet, sobald das System gespeichert ist.",
        "Tantas piezas se dibujan cuando el circuito está guardado.";
    nothing_found: "Nothing to complain of.", "Nichts zu beanstanden.", "Nada que objetar.";
    in_another_file(file, line, message): "in {file}, line {line}: {message}", "in {file}, Zeile {line}: {message}", "en {file}, línea {line}: {message}";
    line: "line", "Zeile", "línea";
    drawn_before_errors: "Drawn as it was before the errors.", "Gezeichnet, wie es vor den Fehlern war.", "Dibujado como era antes de los errores.";
    shop_is_away: "The shop does not answer. What you typed is kept on this device; press again later.",
        "Die Werkstatt antwortet nicht. Das Getippte ist auf diesem Gerät gespeichert; später noch einmal drücken.",
        "El taller no responde. Lo escrito queda guardado en este dispositivo; pulse otra vez más tarde.";
    typed_last_is_here: "What was typed here last is still here.", "Was hier zuletzt getippt wurde, ist noch da.", "Lo último que se escribió aquí sigue aquí.";
    take_kept_text: "Take the kept text instead", "Stattdessen den gespeicherten Text nehmen", "Tomar en su lugar el texto guardado";
    circuit_name: "Name: small letters, digits, hyphens", "Name: kleine Buchstaben, Ziffern, Bindestriche", "Nombre: letras minúsculas, cifras, guiones";
    description: "Description", "Beschreibung", "Descripción";
    keep_it: "Keep it", "Speichern", "Guardarlo";
    findings: "Findings", "Befunde", "Hallazgos";
    name_the_parts: "Name the parts and pick what they are. The next page holds the description as text, every port and figure that is still wanted marked, with the drawing beside it.",
        "Die Teile benennen und wählen, was sie sind. Die nächste Seite enthält die Beschreibung als Text, jeden noch fehlenden Anschluss und Wert markiert, mit der Zeichnung daneben.",
        "Nombre las piezas y elija qué son. La página siguiente tiene la descripción como texto, con cada toma y cifra que aún falta marcada, y el dibujo al lado.";
    title: "Title", "Titel", "Título";
    leading_codes: "Trouble codes that lead to it", "Fehlercodes, die dazu führen", "Códigos de avería que llevan a él";
    leading_complaints: "Complaints that lead to it, one a line", "Beanstandungen, die dazu führen, eine je Zeile", "Quejas que llevan a él, una por línea";
    part_row(number): "Part {number}", "Teil {number}", "Pieza {number}";
    row_name: "name, as valve or source-hose", "Name, wie valve oder source-hose", "nombre, como valve o source-hose";
    row_name_short: "name", "Name", "nombre";
    row_kind: "what it is", "was es ist", "qué es";
    row_joined: "joined to, as inlet = pump.inlet, output = hose.from", "verbunden mit, wie inlet = pump.inlet, output = hose.from", "unido a, como inlet = pump.inlet, output = hose.from";
    row_joined_short: "port = other.port, …", "Anschluss = anderes.anschluss, …", "toma = otra.toma, …";
    write_description: "Write the description", "Beschreibung schreiben", "Escribir la descripción";
    what_kinds_are: "What the kinds are, and their ports", "Was die Arten sind, und ihre Anschlüsse", "Qué son los tipos, y sus tomas";
    ports: " Ports: ", " Anschlüsse: ", " Tomas: ";
}

// What if.
catalogue! {
    WHAT_IF:
    typical_vehicle: "A typical vehicle of this circuit, read by perfect instruments. Move a slider and see what changes.",
        "Ein typisches Fahrzeug dieses Systems, mit vollkommenen Messgeräten gelesen. Einen Schieber bewegen und sehen, was sich ändert.",
        "Un vehículo típico de este circuito, leído con instrumentos perfectos. Mueva un deslizador y vea qué cambia.";
    solved_in: "solved in {{server}} ms, shown after {{here}} ms", "gelöst in {{server}} ms, gezeigt nach {{here}} ms", "resuelto en {{server}} ms, mostrado tras {{here}} ms";
    gauges: "Gauges", "Messgeräte", "Instrumentos";
    key_this: "▼ this vehicle", "▼ dieses Fahrzeug", "▼ este vehículo";
    key_sound: "| sound", "| ohne Fehler", "| sin fallos";
    key_healthy: "▬ healthy vehicles, 5 to 95 of 100", "▬ gesunde Fahrzeuge, 5 bis 95 von 100", "▬ vehículos sanos, 5 a 95 de 100";
    fault: "Fault", "Fehler", "Fallo";
    second_fault: "And a second fault", "Und ein zweiter Fehler", "Y un segundo fallo";
    no_fault: "none", "keiner", "ninguno";
    condition: "Condition", "Zustand", "Condición";
    altitude_now: "Altitude ", "Höhe ", "Altitud ";
    show: "Show", "Zeigen", "Mostrar";
    how_bad: "How bad: ", "Wie schlimm: ", "Qué grave: ";
    sound: "sound: ", "ohne Fehler: ", "sin fallos: ";
    healthy_band: ", healthy {{range}}", ", in Ordnung {{range}}", ", sano {{range}}";
    manner_at(manner, place): "{manner} at {place}", "{manner} an {place}", "{manner} en {place}";
}

// Practice.
catalogue! {
    PRACTICE:
    practice_is: "A made-up vehicle comes in with a complaint. Something is wrong with it, in a world that is not quite what the model says. Measure, renew, and see at the end what others would have paid.",
        "Ein erfundenes Fahrzeug kommt mit einer Beanstandung. Etwas stimmt nicht, in einer Welt, die nicht ganz dem Modell gleicht. Messen, ersetzen und am Ende sehen, was andere bezahlt hätten.",
        "Llega un vehículo inventado con una queja. Algo está mal, en un mundo que no es del todo lo que dice el modelo. Mida, sustituya, y vea al final qué habrían pagado otros.";
    any: "any", "beliebig", "cualquiera";
    vehicle_number: "Number of the vehicle, to play the same one as somebody else; empty for another",
        "Nummer des Fahrzeugs, um dasselbe wie jemand anders zu spielen; leer für ein anderes",
        "Número del vehículo, para jugar el mismo que otra persona; vacío para otro";
    begin: "Begin", "Beginnen", "Empezar";
    practice_mark: "practice", "Übung", "práctica";
    practice_vehicle(title, number, height): "{title}, vehicle {number}, {height} m above the sea", "{title}, Fahrzeug {number}, {height} m über dem Meer",
        "{title}, vehículo {number}, {height} m sobre el mar";
    account(minutes, parts): "So far: {minutes} minutes, parts {parts}, together ", "Bisher: {minutes} Minuten, Teile {parts}, zusammen ",
        "Hasta ahora: {minutes} minutos, piezas {parts}, en total ";
    nothing_yet: "Nothing yet.", "Noch nichts.", "Nada todavía.";
    choose_here: "Choose a part or a measuring point on the drawing, or a check from the list below it.",
        "Ein Teil oder einen Messpunkt in der Zeichnung wählen, oder eine Prüfung aus der Liste darunter.",
        "Elija una pieza o un punto de medida en el dibujo, o una comprobación de la lista de abajo.";
    renew_it(minutes, price): "Renew it: {minutes}, part {price}", "Ersetzen: {minutes}, Teil {price}", "Sustituir: {minutes}, pieza {price}";
    try_on_bench: "Try the new one on the bench first, where it can be", "Das neue zuerst auf der Werkbank probieren, wo das geht",
        "Probar primero la nueva en el banco, donde se pueda";
    and_prove(repair): "{repair}, and prove it", "{repair} und nachweisen", "{repair}, y demostrarlo";
    look_beyond_it: "Look beyond this circuit", "Außerhalb dieses Systems suchen", "Buscar fuera de este circuito";
    leave: "Leave, and see what was hidden", "Aufhören und sehen, was versteckt war", "Dejarlo, y ver qué estaba oculto";
    needle_shows(tool, value): "The instrument shows {value} ({tool})", "Das Messgerät zeigt {value} ({tool})", "El instrumento muestra {value} ({tool})";
    you: "you", "selbst", "usted";
    the_plan: "the plan", "der Plan", "el plan";
    habit: "order of habit", "nach Gewohnheit", "por costumbre";
    row_cost: "cost", "Kosten", "coste";
    row_checks: "checks", "Prüfungen", "comprobaciones";
    row_renewed: "parts renewed", "Teile ersetzt", "piezas sustituidas";
    row_wrong: "of them without a fault", "davon ohne Fehler", "de ellas sin fallo";
    the_end: "The end", "Das Ende", "El final";
    left_before: "Left before the end", "Vor dem Ende aufgehört", "Dejado antes del final";
    was_hidden: "What was hidden: ", "Was versteckt war: ", "Qué estaba oculto: ";
    account_stops: "Your account stops where you left; the others worked until the complaint was gone.",
        "Die eigene Rechnung endet beim Aufhören; die anderen arbeiteten, bis die Beanstandung weg war.",
        "Su cuenta se para donde lo dejó; los otros trabajaron hasta que desapareció la queja.";
    dearest(step, cost): "The dearest step on the way: {step}, {cost}.", "Der teuerste Schritt unterwegs: {step}, {cost}.", "El paso más caro del camino: {step}, {cost}.";
    another: "Another", "Noch eine", "Otra";
    renewed(part): "{part} renewed", "{part} ersetzt", "{part}: sustituido";
    renewed_after_bench(part): "{part} renewed, tried on the bench first", "{part} ersetzt, vorher auf der Werkbank probiert", "{part}: sustituido, probado antes en el banco";
    looked_beyond: "looked beyond this circuit", "außerhalb dieses Systems gesucht", "se buscó fuera de este circuito";
    not_possible: "could not be done", "ging nicht", "no se pudo hacer";
    gone: "the complaint is gone", "die Beanstandung ist weg", "la queja desapareció";
    not_gone: "the complaint is still there", "die Beanstandung ist noch da", "la queja sigue ahí";
    was_beyond: "the cause was there", "die Ursache lag dort", "la causa estaba allí";
    not_beyond: "no cause there: it must be in this circuit", "dort keine Ursache: sie muss in diesem System liegen", "allí no hay causa: debe estar en este circuito";
    given_up: "so many steps that the customer took the vehicle elsewhere", "so viele Schritte, dass der Kunde das Fahrzeug anderswohin brachte",
        "tantos pasos que el cliente se llevó el vehículo a otro sitio";
}
counted! {
    STEPS_BACK:
    sent_back(count, now): ["{count} new one failed on the bench and went back; {now}", "{count} new ones failed on the bench and went back; {now}"],
        ["{count} neues fiel auf der Werkbank durch und ging zurück; {now}", "{count} neue fielen auf der Werkbank durch und gingen zurück; {now}"],
        ["{count} nueva falló en el banco y se devolvió; {now}", "{count} nuevas fallaron en el banco y se devolvieron; {now}"];
}
