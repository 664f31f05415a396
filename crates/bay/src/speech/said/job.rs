//! A job on one screen: its checks, parts and joints, its stages, what can be said of it, its record.

// A check.
catalogue! {
    CHECK:
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
    CAUTIONS:
    caution_read(count): ["I have read this caution", "I have read these cautions"],
        ["Ich habe diese Warnung gelesen", "Ich habe diese Warnungen gelesen"],
        ["He leído esta advertencia", "He leído estas advertencias"];
}

// A job, its parts and joints.
catalogue! {
    JOB:
    job(number): "Job {number}", "Auftrag {number}", "Trabajo {number}";
    invented_mark: "invented example", "erfundenes Beispiel", "ejemplo inventado";
    no_check_left: "No check is left", "Keine Prüfung mehr übrig", "No queda ninguna comprobación";
    look_beyond: "No check is left on this circuit: look beyond it.",
        "In diesem System ist keine Prüfung mehr übrig: weiter außen suchen.",
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
    COUNTS:
    others(count, together): ["{count} other, {together}", "{count} others, together {together}"],
        ["{count} weiterer, {together}", "{count} weitere, zusammen {together}"],
        ["{count} más, {together}", "{count} más, en total {together}"];
    done(count): ["What was done ({count})", "What was done ({count})"],
        ["Was getan wurde ({count})", "Was getan wurde ({count})"],
        ["Qué se hizo ({count})", "Qué se hizo ({count})"];
}

// The stages of a job, other jobs, pictures.
catalogue! {
    STAGES:
    stages: "Stages of this job", "Schritte dieses Auftrags", "Etapas de este trabajo";
    to_offer: "Offer", "Angebot", "Oferta";
    to_repair: "Repair", "Reparatur", "Reparación";
    to_proof: "Proof", "Nachweis", "Prueba";
    to_close: "Close", "Abschließen", "Cerrar";
    to_reopen: "Reopen", "Wieder öffnen", "Reabrir";
    to_paper: "Paper", "Papier", "Papel";
    is_checking: "The cause is looked for; the stages after it are here already.",
        "Die Ursache wird gesucht; die Schritte danach stehen schon hier.",
        "Se busca la causa; las etapas siguientes ya están aquí.";
    is_proven: "The cause is proven. Offer the repair.", "Die Ursache ist bewiesen. Die Reparatur anbieten.",
        "La causa está demostrada. Ofrezca la reparación.";
    is_quoted: "The offer waits for the customer's answer.", "Das Angebot wartet auf die Antwort des Kunden.",
        "La oferta espera la respuesta del cliente.";
    is_agreed: "The customer agreed. Try the new part before fitting, then repair.",
        "Der Kunde hat zugestimmt. Das Neuteil vor dem Einbau probieren, dann reparieren.",
        "El cliente aceptó. Pruebe la pieza nueva antes de montarla y luego repare.";
    is_repaired: "Repaired, not proven yet.", "Repariert, noch nicht nachgewiesen.", "Reparado, aún sin demostrar.";
    is_watched: "The repair is proven to work. Drives are counted until the module erases its own code; then close.",
        "Die Reparatur ist nachgewiesen. Fahrten werden gezählt, bis das Steuergerät seinen Code selbst löscht; dann abschließen.",
        "La reparación está demostrada. Se cuentan los viajes hasta que la unidad borre su propio código; luego cierre.";
    is_over: "Closed.", "Abgeschlossen.", "Cerrado.";
    other_jobs: "Other jobs with these words", "Andere Aufträge mit diesen Wörtern", "Otros trabajos con estas palabras";
    pictures: "Pictures", "Bilder", "Imágenes";
    picture: "Picture", "Bild", "Imagen";
    picture_shows: "What it shows", "Was es zeigt", "Qué muestra";
    keep_picture: "Keep the picture", "Bild speichern", "Guardar la imagen";
    what_if_link: "What if: set a fault and see what every gauge shows",
        "Was wäre, wenn: einen Fehler setzen und sehen, was jedes Messgerät zeigt",
        "Qué pasaría si: ponga un fallo y vea qué muestra cada instrumento";
    at_fault(chance): "{chance} that it is at fault", "{chance}, dass es schuld ist", "{chance} que tenga la culpa";
}

// What can be said at any stage.
catalogue! {
    STEPS:
    cause_is_proven: "The cause is proven", "Die Ursache ist bewiesen", "La causa está demostrada";
    cause: "Cause", "Ursache", "Causa";
    why_it_counts: "Why it counts, if a check has not shown it directly",
        "Warum es gilt, falls keine Prüfung es direkt gezeigt hat", "Por qué cuenta, si ninguna comprobación lo ha mostrado directamente";
    call_proven: "Call it proven", "Als bewiesen erklären", "Darla por demostrada";
    note: "Note", "Notiz", "Nota";
    keep_note: "Keep the note", "Notiz speichern", "Guardar la nota";
    more_steps: "Rule out, how it stands, another code", "Ausschließen, wie es steht, weiterer Code", "Descartar, cómo está, otro código";
    not_cause: "Not the cause", "Nicht die Ursache", "No es la causa";
    how_known: "How you know", "Woher bekannt", "Cómo lo sabe";
    rule_out: "Rule it out", "Ausschließen", "Descartar";
    stands_open: "Open, with commas between", "Offen, mit Kommas dazwischen", "Abierto, con comas entre medias";
    stands_off: "Off the vehicle, with commas between", "Vom Fahrzeug abgebaut, mit Kommas dazwischen", "Quitado del vehículo, con comas entre medias";
    engine_hot: "The engine is hot", "Der Motor ist heiß", "El motor está caliente";
    say_stands: "Say how it stands", "Sagen, wie es steht", "Decir cómo está";
    code: "Trouble code", "Fehlercode", "Código de avería";
    pending: "Pending only", "Nur vorläufig", "Solo pendiente";
    note_code: "Note the code", "Code notieren", "Anotar el código";
}

// The record.
catalogue! {
    RECORD:
    taken_in: "taken in", "angenommen", "recibido";
    code_noted(code): "code {code}", "Code {code}", "código {code}";
    caution_was_read(caution): "caution read: {caution}", "Warnung gelesen: {caution}", "advertencia leída: {caution}";
    with_instrument(name): " (with {name})", " (mit {name})", " (con {name})";
    taken_back: "took the last thing back", "das Letzte zurückgenommen", "se retiró lo último";
    taken_back_for(reason): "took something back: {reason}", "etwas zurückgenommen: {reason}", "se retiró algo: {reason}";
    picture_of(words): "picture: {words}", "Bild: {words}", "imagen: {words}";
    was_ruled_out(what, reason): "ruled out {what}: {reason}", "ausgeschlossen {what}: {reason}", "descartado {what}: {reason}";
    left_standing(open, off): "left with open: {open}; off: {off}", "hinterlassen mit offen: {open}; abgebaut: {off}", "dejado con abierto: {open}; quitado: {off}";
    left_hot: "; engine hot", "; Motor heiß", "; motor caliente";
    left_cold: "; engine cold", "; Motor kalt", "; motor frío";
    nothing: "nothing", "nichts", "nada";
    was_proven(cause): "cause proven: {cause}", "Ursache bewiesen: {cause}", "causa demostrada: {cause}";
    by_hand(why): ", by hand: {why}", ", von Hand: {why}", ", a mano: {why}";
    offer_made: "offer made", "Angebot gemacht", "oferta hecha";
    offer_accepted: "offer accepted", "Angebot angenommen", "oferta aceptada";
    goes_on: "customer agrees to go on measuring", "Kunde stimmt dem Weitermessen zu", "el cliente acepta seguir midiendo";
    offer_refused(reason): "offer refused: {reason}", "Angebot abgelehnt: {reason}", "oferta rechazada: {reason}";
    new_part_good(part, read): "new {part} tried: {read}, good", "Neuteil {part} probiert: {read}, gut", "{part} nueva probada: {read}, buena";
    new_part_bad(part, read): "new {part} tried: {read}, bad", "Neuteil {part} probiert: {read}, schlecht", "{part} nueva probada: {read}, mala";
    was_repaired(part): "repaired {part}", "repariert: {part}", "reparado: {part}";
    behind_mended(what): "; cause behind it put right: {what}", "; Ursache dahinter behoben: {what}", "; causa de fondo corregida: {what}";
    behind_left(what): "; cause behind it left: {what}", "; Ursache dahinter belassen: {what}", "; causa de fondo dejada: {what}";
    proof_good(check, read): "after the repair, {check}: {read}, healthy", "nach der Reparatur, {check}: {read}, in Ordnung", "tras la reparación, {check}: {read}, sano";
    proof_bad(check, read): "after the repair, {check}: {read}, not healthy", "nach der Reparatur, {check}: {read}, nicht in Ordnung", "tras la reparación, {check}: {read}, no sano";
    driven: "driven", "gefahren", "conducido";
    recorded_drive(name): "recorded drive {name}", "aufgezeichnete Fahrt {name}", "recorrido grabado {name}";
    seen_again(code): "code {code} seen again", "Code {code} wieder gesehen", "código {code} visto de nuevo";
    was_closed: "closed", "abgeschlossen", "cerrado";
    was_reopened(reason): "reopened: {reason}", "wieder geöffnet: {reason}", "reabierto: {reason}";
}

// The drawing of how an instrument is connected.
catalogue! {
    HOOKUP:
    hookup_deadhead: "The hose is off; the gauge closes the end that comes from the source, the other end is open",
        "Der Schlauch ist ab; das Manometer verschließt das Ende von der Quelle, das andere Ende ist offen",
        "La manguera está desconectada; el manómetro cierra el extremo de la fuente, el otro queda abierto";
    hookup_tee: "The hose stays joined; the gauge hangs on a tee between",
        "Der Schlauch bleibt verbunden; das Manometer hängt an einem T-Stück dazwischen",
        "La manguera sigue unida; el manómetro cuelga de una T intermedia";
    hookup_volts: "Everything plugged in; the meter reads from the pin to the battery's negative post",
        "Alles gesteckt; gemessen wird vom Pin zum Minuspol der Batterie",
        "Todo conectado; se mide del pin al borne negativo de la batería";
    hookup_open_volts: "Unplugged; the meter reads in the loose plug to the battery's negative post",
        "Abgesteckt; gemessen wird im losen Stecker gegen den Minuspol der Batterie",
        "Desconectado; se mide en el conector suelto contra el borne negativo de la batería";
    hookup_drop: "Everything plugged in and working; one lead on each side",
        "Alles gesteckt und in Betrieb; je eine Messleitung auf jeder Seite",
        "Todo conectado y funcionando; una punta a cada lado";
    hookup_ohms: "Unplugged; the meter lies across the part's own pins",
        "Abgesteckt; gemessen wird zwischen den eigenen Pins des Teils",
        "Desconectado; se mide entre los propios pines de la pieza";
    hookup_amps: "The clamp closes around one wire", "Die Stromzange umschließt eine Leitung", "La pinza rodea un solo cable";
    from_source: "from the source", "von der Quelle", "de la fuente";
    open_end: "open", "offen", "abierto";
    joined: "joined, working", "verbunden, in Betrieb", "unido, en marcha";
    plugged_in: "plugged in", "gesteckt", "conectado";
    unplugged: "unplugged", "abgesteckt", "desconectado";
    current_flowing: "current flowing", "Strom fließt", "con corriente";
    unplugged_off: "unplugged, key off", "abgesteckt, Zündung aus", "desconectado, sin contacto";
    one_wire: "one wire only", "nur eine Leitung", "un solo cable";
}

// The plan as a tree.
catalogue! {
    PLAN:
    plan_title(number): "Plan of job {number}", "Plan von Auftrag {number}", "Plan del trabajo {number}";
    card_to_print: "Test card to print (PDF)", "Prüfkarte zum Drucken (PDF)", "Tarjeta de prueba para imprimir (PDF)";
    made_anew: "After each reading the plan is made anew with the reading itself, not only its band.",
        "Nach jedem Messwert wird der Plan mit dem Wert selbst neu gemacht, nicht nur mit seinem Bereich.",
        "Tras cada lectura el plan se hace de nuevo con la lectura misma, no solo con su banda.";
    renew_and_prove(repair): "{repair}, then prove it", "{repair}, dann nachweisen", "{repair}, y luego demostrarlo";
    bench_renew_and_prove(repair): "try the new part on the bench, {repair}, then prove it", "das Neuteil auf der Werkbank probieren, {repair}, dann nachweisen",
        "probar la pieza nueva en el banco, {repair}, y luego demostrarlo";
    beyond_here: "look beyond this circuit", "außerhalb dieses Systems suchen", "buscar fuera de este circuito";
    rare: ": rare, ask again then", ": selten, dann neu fragen", ": raro, pregunte de nuevo entonces";
    cures_if_not(chance): "Cures in {chance}; if not:", "Behebt es in {chance}; wenn nicht:", "Lo cura en {chance}; si no:";
    cures_if_rare(chance): "Cures in {chance}; if not, which is rare, ask again then.", "Behebt es in {chance}; wenn nicht, was selten ist, dann neu fragen.",
        "Lo cura en {chance}; si no, lo cual es raro, pregunte de nuevo entonces.";
    cures(chance): "Cures in {chance}.", "Behebt es in {chance}.", "Lo cura en {chance}.";
}
