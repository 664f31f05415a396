//! From the offer to the closing: what those pages say.

// The offer.
catalogue! {
    OFFER:
    offer_title(number): "Offer, job {number}", "Angebot, Auftrag {number}", "Oferta, trabajo {number}";
    what_shop_charges: "What the shop charges", "Was die Werkstatt berechnet", "Qué cobra el taller";
    offer_without: "The offer without what was typed", "Das Angebot ohne das Getippte", "La oferta sin lo escrito";
    is_agreed_offer: "agreed", "vereinbart", "acordada";
    is_given: "given, waits for an answer", "gemacht, wartet auf Antwort", "dada, espera respuesta";
    is_draft: "draft, not given", "Entwurf, nicht gemacht", "borrador, no dada";
    so_far(what): "So far {what}.", "Bisher {what}.", "Hasta ahora {what}.";
    customer_words: "Words of the customer; the reason if they say no", "Worte des Kunden; der Grund, wenn er ablehnt", "Palabras del cliente; el motivo si dice que no";
    going_on: "Going on with measuring", "Weitermessen", "Seguir midiendo";
    agree_to_go_on: "They agree to go on", "Kunde stimmt dem Weitermessen zu", "Acepta seguir";
    if_stops: "If the customer stops here", "Wenn der Kunde hier aufhört", "Si el cliente para aquí";
    they_refuse: "They say no", "Kunde lehnt ab", "Dice que no";
    give_offer: "Give the offer, the answer comes later", "Angebot machen, die Antwort kommt später", "Dar la oferta, la respuesta llega después";
    all_that_is_wrong(chance): "; chance that this is all that is wrong here: {chance}",
        "; Wahrscheinlichkeit, dass hier sonst nichts defekt ist: {chance}",
        "; probabilidad de que sea lo único que está mal aquí: {chance}";
    as_it_is: "as it is", "wie es ist", "tal cual";
    part: "Part", "Teil", "Pieza";
    real_price: ", real price", ", echter Preis", ", precio real";
    usual_price: ", usual price", ", üblicher Preis", ", precio habitual";
    work: "Work", "Arbeit", "Trabajo";
    tax: "Tax", "Steuer", "Impuesto";
    total: "Total", "Gesamt", "Total";
    bad_new: "Bad new", "Neu schlecht", "Mala de nueva";
    lasts: "Lasts", "Hält", "Dura";
    over_life: "Over its life", "Über die Lebensdauer", "A lo largo de su vida";
    per_100_000(amount): "{amount} per 100,000 km", "{amount} je 100.000 km", "{amount} por 100.000 km";
    agree_to(number): "They agree to {number}", "Kunde nimmt {number}", "Acepta la {number}";
    real_prices: "Real prices of parts", "Echte Teilepreise", "Precios reales de piezas";
    prices_in(currency): "Before tax, in {currency}. An empty field keeps the usual price.",
        "Vor Steuer, in {currency}. Ein leeres Feld behält den üblichen Preis.",
        "Antes de impuestos, en {currency}. Un campo vacío mantiene el precio habitual.";
    work_out: "Work it out anew", "Neu ausrechnen", "Calcular de nuevo";
}

// The repair.
catalogue! {
    REPAIR:
    repair_title(number): "Repair, job {number}", "Reparatur, Auftrag {number}", "Reparación, trabajo {number}";
    not_proven_yet: "The cause is not proven. Do not buy a part on this yet.",
        "Die Ursache ist nicht bewiesen. Noch kein Teil daraufhin kaufen.",
        "La causa no está demostrada. No compre todavía ninguna pieza por esto.";
    part_at_hand: "Part at hand", "Teil, um das es geht", "Pieza en cuestión";
    take_this_part: "Take this part", "Dieses Teil nehmen", "Tomar esta pieza";
    do_repair(what): "Do: {what}, as the vehicle maker's service information says.",
        "Tun: {what}, wie die Serviceangaben des Fahrzeugherstellers es sagen.",
        "Hacer: {what}, como dice la información de servicio del fabricante.";
    closed_before: "The job is closed: ", "Der Auftrag ist abgeschlossen: ", "El trabajo está cerrado: ";
    closed_link: "reopen it", "wieder öffnen", "reábralo";
    closed_after: " to note a repair.", ", um eine Reparatur zu notieren.", " para anotar una reparación.";
    try_new_part: "Try the new part before fitting", "Das Neuteil vor dem Einbau probieren", "Probar la pieza nueva antes de montarla";
    repaired: "Repaired", "Repariert", "Reparado";
    tried_good: "Good", "Gut", "Buena";
    tried_bad: "Bad, do not fit", "Schlecht, nicht einbauen", "Mala, no montar";
    tried_read(read): ", read {read}", ", gelesen {read}", ", leído {read}";
    few_are_bad: "A few new parts in a hundred are bad. A bad one counts against the part, not against the diagnosis.",
        "Von hundert Neuteilen sind ein paar schlecht. Ein schlechtes spricht gegen das Teil, nicht gegen die Diagnose.",
        "De cien piezas nuevas, unas pocas son malas. Una mala cuenta contra la pieza, no contra el diagnóstico.";
    how_tried: "How it was tried: coil resistance, a click on a fused lead, a hold test",
        "Wie es probiert wurde: Spulenwiderstand, ein Klick an abgesicherter Zuleitung, eine Haltprobe",
        "Cómo se probó: resistencia de la bobina, un clic con cable con fusible, una prueba de retención";
    what_read: "What was read, with its unit", "Was gelesen wurde, mit Einheit", "Qué se leyó, con su unidad";
    may_be_fitted: "Good: it may be fitted", "Gut: darf eingebaut werden", "Buena: se puede montar";
    do_not_fit: "Bad: do not fit", "Schlecht: nicht einbauen", "Mala: no montar";
    none_tried: "No new part was tried yet.", "Noch kein Neuteil probiert.", "Todavía no se probó ninguna pieza nueva.";
    what_was_done: "What was done", "Was getan wurde", "Qué se hizo";
    new_fitted: "a new one fitted", "ein neues eingebaut", "se montó una nueva";
    old_mended: "the old one put right", "das alte instand gesetzt", "se arregló la vieja";
    part_price(currency): "Price of the part before tax, {currency}", "Teilepreis vor Steuer, {currency}", "Precio de la pieza antes de impuestos, {currency}";
    cause_behind: "The cause behind the cause: oil, a chafe point, a blocked filter, heat",
        "Die Ursache hinter der Ursache: Öl, eine Scheuerstelle, ein verstopfter Filter, Hitze",
        "La causa detrás de la causa: aceite, un roce, un filtro obstruido, calor";
    behind_not_found: "looked for, not found", "gesucht, nicht gefunden", "buscada, no encontrada";
    behind_put_right: "found and put right", "gefunden und behoben", "encontrada y corregida";
    behind_was_left: "found and left", "gefunden und belassen", "encontrada y dejada";
    what_behind: "What it was, or why it was left", "Was es war, oder warum belassen", "Qué era, o por qué se dejó";
    note_repair: "Note the repair", "Reparatur notieren", "Anotar la reparación";
    grade_of_part: "Grade of the part", "Güte des Teils", "Calidad de la pieza";
    not_known: "not known", "nicht bekannt", "no se sabe";
}

// The proof, and the watch after it.
catalogue! {
    PROOF:
    proof_title(number): "Proof of the repair, job {number}", "Nachweis der Reparatur, Auftrag {number}", "Prueba de la reparación, trabajo {number}";
    made_before: "Made before the repair: make it again, at the same place and in the same state",
        "Vor der Reparatur gemacht: noch einmal machen, an derselben Stelle und im selben Zustand",
        "Hecha antes de la reparación: hágala otra vez, en el mismo sitio y en el mismo estado";
    says_it_works: "Says that the circuit works", "Sagt, dass das System arbeitet", "Dice que el circuito funciona";
    proof_stands: "Where the proof stands", "Wie der Nachweis steht", "Cómo va la prueba";
    before_and_after: "Before and after", "Vorher und nachher", "Antes y después";
    good: "Good", "Gut", "Bien";
    not_good: "Not as it should be", "Nicht, wie es sein soll", "No está como debe";
    before_repair(read): "; before the repair {read}", "; vor der Reparatur {read}", "; antes de la reparación {read}";
    healthy_range(range): "; healthy {range}", "; in Ordnung {range}", "; sano {range}";
    to_the_repair: "To the repair", "Zur Reparatur", "A la reparación";
    condemned: "What condemned it: ", "Was es überführte: ", "Qué lo delató: ";
    judged_by_hand(reason): "judged by hand: {reason}", "von Hand beurteilt: {reason}", "juzgado a mano: {reason}";
    shown_by(checks): "shown by {checks}", "gezeigt durch {checks}", "mostrado por {checks}";
    done_good: "done, good", "gemacht, gut", "hecho, bien";
    healthy: "Healthy", "In Ordnung", "Sano";
    before: "Before", "Vorher", "Antes";
    shows_now(tool): "What the instrument shows now ({tool})", "Was das Messgerät jetzt zeigt ({tool})", "Qué muestra ahora el instrumento ({tool})";
    road_test: "Road test, as the complaint was", "Probefahrt wie bei der Beanstandung", "Prueba en carretera, como en la queja";
    one_drives: "One drives and another reads: no look at an instrument at the wheel (common practice, no source).",
        "Einer fährt, ein anderer liest ab: am Steuer kein Blick auf ein Messgerät (übliche Praxis, ohne Quelle).",
        "Uno conduce y otro lee: nada de mirar un instrumento al volante (práctica habitual, sin fuente).";
    what_driven: "What was driven", "Was gefahren wurde", "Qué se condujo";
    a_road_test: "road test", "Probefahrt", "prueba en carretera";
    complaint_gone: "Good: the complaint is gone", "Gut: die Beanstandung ist weg", "Bien: la queja desapareció";
    still_there: "Not good", "Nicht gut", "Mal";
    proven_by_hand: "Call it proven by hand", "Von Hand als nachgewiesen erklären", "Darla por demostrada a mano";
    why_although: "Why it counts although something is missing", "Warum es gilt, obwohl etwas fehlt", "Por qué cuenta aunque falte algo";
    is_by_hand: "Proven by hand", "Von Hand nachgewiesen", "Demostrada a mano";
    close_job: "Close the job", "Auftrag abschließen", "Cerrar el trabajo";
    drives: "Drives, lamp and code", "Fahrten, Lampe und Code", "Viajes, lámpara y código";
    other_markets: "Other markets", "Andere Märkte", "Otros mercados";
    monitor: "The monitor of this fault", "Die Überwachung dieses Fehlers", "El monitor de este fallo";
    monitor_ran: "ran to its end", "lief bis zum Ende", "se ejecutó hasta el final";
    monitor_did_not: "did not run", "lief nicht", "no se ejecutó";
    monitor_found: "What it found", "Was sie fand", "Qué encontró";
    found_nothing: "nothing", "nichts", "nada";
    found_again: "the fault again", "den Fehler wieder", "el fallo otra vez";
    found_other: "another fault", "einen anderen Fehler", "otro fallo";
    similar: "As when the fault was found", "Wie beim Fund des Fehlers", "Como cuando se encontró el fallo";
    said_yes: "yes", "ja", "sí";
    said_no: "no", "nein", "no";
    coolant_start: "Coolant at start, °C", "Kühlmittel beim Start, °C", "Refrigerante al arrancar, °C";
    coolant_peak: "Warmest, °C", "Am wärmsten, °C", "Máxima, °C";
    note_drive: "Note the drive", "Fahrt notieren", "Anotar el viaje";
    code_is_back: "The code is back", "Der Code ist zurück", "El código ha vuelto";
}

// The end of a job.
catalogue! {
    CLOSING:
    closed_title(number): "Closed job {number}", "Abgeschlossener Auftrag {number}", "Trabajo cerrado {number}";
    close_title(number): "Close job {number}", "Auftrag {number} abschließen", "Cerrar el trabajo {number}";
    ends_repaired: "repaired and proven", "repariert und nachgewiesen", "reparado y demostrado";
    ends_unverified: "repaired, handed back unverified", "repariert, nicht nachgewiesen", "reparado, entregado sin verificar";
    ends_nothing_wrong: "nothing wrong in this circuit", "in diesem System kein Fehler", "nada mal en este circuito";
    ends_not_listed: "another cause, not on the list", "eine andere Ursache, nicht auf der Liste", "otra causa, no de la lista";
    ends_stopped: "the customer stopped", "der Kunde hörte auf", "el cliente paró";
    ended_unverified(why): "handed back unverified: {why}", "ungeprüft zurückgegeben: {why}", "entregado sin verificar: {why}";
    ended_not_listed(what): "another cause: {what}", "eine andere Ursache: {what}", "otra causa: {what}";
    ended_stopped(why): "the customer stopped: {why}", "der Kunde hörte auf: {why}", "el cliente paró: {why}";
    it_ends: "It ends", "Er endet", "Termina";
    why_or_what: "Why, or what it was; not needed where it is repaired and proven",
        "Warum, oder was es war; nicht nötig, wo repariert und nachgewiesen",
        "Por qué, o qué era; no hace falta si está reparado y demostrado";
    closed_teaches: "A closed job teaches the next: what was found, how long it took, what lasted. It can be reopened.",
        "Ein abgeschlossener Auftrag lehrt den nächsten: was gefunden wurde, wie lange es dauerte, was hielt. Er lässt sich wieder öffnen.",
        "Un trabajo cerrado enseña al siguiente: qué se encontró, cuánto llevó, qué duró. Se puede reabrir.";
    it_ended: "It ended: ", "Er endete: ", "Terminó: ";
    why_goes_on: "Why it goes on", "Warum er weitergeht", "Por qué sigue";
    the_complaint: "The complaint", "Die Beanstandung", "La queja";
    did_not_come_back: "did not come back", "kam nicht wieder", "no volvió";
    came_back: "came back: a comeback", "kam wieder: ein Rückläufer", "volvió: un retorno";
    you_typed: "You typed: ", "Getippt war: ", "Se escribió: ";
    reopen_job: "Reopen the job", "Auftrag wieder öffnen", "Reabrir el trabajo";
}

// Paper for a job.
catalogue! {
    PAPER:
    paper_title(number): "Paper, job {number}", "Papier, Auftrag {number}", "Papel, trabajo {number}";
    job_sheet: "Job sheet", "Auftragsblatt", "Hoja del trabajo";
    job_sheet_holds: "Everything the shop should keep of this job.", "Alles, was die Werkstatt von diesem Auftrag speichern sollte.",
        "Todo lo que el taller debería guardar de este trabajo.";
    customer_page: "Customer's page", "Seite für den Kunden", "Página del cliente";
    customer_page_holds: "What was wrong, what was done, what it costs, in plain words.",
        "Was defekt war, was getan wurde, was es kostet, in einfachen Worten.",
        "Qué estaba mal, qué se hizo, qué cuesta, en palabras sencillas.";
    read_or_print: "Read or print", "Lesen oder drucken", "Leer o imprimir";
    test_card: "Test card", "Prüfkarte", "Tarjeta de prueba";
    test_card_holds: "The plan from here on, on one sheet to take along.", "Der Plan von hier an, auf einem Blatt zum Mitnehmen.",
        "El plan desde aquí, en una hoja para llevar.";
    card_is_english: "The test card as PDF is in English.", "Die Prüfkarte als PDF ist auf Englisch.", "La tarjeta de prueba en PDF está en inglés.";
}
