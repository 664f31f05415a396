//! Recorded drives: what their pages say. What a picture's lines are called stays English and is marked so.

catalogue! {
    DRIVES:
    drives_link(count): "Recorded drives ({count})", "Aufgezeichnete Fahrten ({count})", "Recorridos grabados ({count})";
    drives_title(number): "Recorded drives, job {number}", "Aufgezeichnete Fahrten, Auftrag {number}", "Recorridos grabados, trabajo {number}";
    drive_title(number): "Recorded drive, job {number}", "Aufgezeichnete Fahrt, Auftrag {number}", "Recorrido grabado, trabajo {number}";
    no_drive_yet: "No recording was given to this job yet.",
        "Zu diesem Auftrag gibt es noch keine Aufzeichnung.",
        "Aún no se ha dado ninguna grabación a este trabajo.";
    last_two: "The last two beside each other", "Die letzten zwei nebeneinander", "Las dos últimas, una junto a otra";
    drives_source: "Driving cycles and warm-up cycles by 40 CFR 86.1803-01, 86.010-2 and 86.010-18(a)(4). A recording counts once, however often it is given.",
        "Fahr- und Aufwärmzyklen nach 40 CFR 86.1803-01, 86.010-2 und 86.010-18(a)(4). Eine Aufzeichnung zählt einmal, so oft sie auch gegeben wird.",
        "Ciclos de conducción y de calentamiento según 40 CFR 86.1803-01, 86.010-2 y 86.010-18(a)(4). Una grabación cuenta una vez, por muchas veces que se dé.";
    drive_simulated: "simulated", "simuliert", "simulado";
    drive_counts(minutes, driving, warm, counted): "{minutes} minutes; driving cycles {driving}, warm-up cycles {warm}, counted for lamp and code {counted}",
        "{minutes} Minuten; Fahrzyklen {driving}, Aufwärmzyklen {warm}, für Lampe und Code gezählt {counted}",
        "{minutes} minutos; ciclos de conducción {driving}, de calentamiento {warm}, contados para testigo y código {counted}";
    drive_given: "; given ", "; gegeben ", "; dada ";
    drive_after_repair: ", after the repair", ", nach der Reparatur", ", después de la reparación";
    give_drive_heading: "Give a recording", "Aufzeichnung geben", "Dar una grabación";
    one_at_wheel: "One drives and another reads: no look at an instrument at the wheel (common practice, no source).",
        "Eine Person fährt, eine andere liest ab: am Steuer kein Blick auf ein Messgerät (übliche Praxis, ohne Quelle).",
        "Uno conduce y otro lee: al volante no se mira ningún instrumento (práctica habitual, sin fuente).";
    drive_file: "A table of figures (CSV), or a text log of CAN frames",
        "Eine Tabelle mit Werten (CSV) oder ein Textprotokoll von CAN-Botschaften",
        "Una tabla de valores (CSV) o un registro de texto de tramas CAN";
    drive_shows: "What it shows", "Was sie zeigt", "Qué muestra";
    drive_monitor: "The monitor of this fault, which a recording does not tell",
        "Die Überwachung dieses Fehlers, von der eine Aufzeichnung nichts sagt",
        "El monitor de este fallo, del que una grabación no dice nada";
    monitor_not_known: "did not run, or not known", "lief nicht, oder nicht bekannt", "no se ejecutó, o no se sabe";
    monitor_to_end: "ran to its end in every cycle", "lief in jedem Zyklus bis zum Ende", "se completó en cada ciclo";
    take_drive_in: "Take it in", "Aufnehmen", "Registrarla";
    all_drives: "All drives of this job", "Alle Fahrten dieses Auftrags", "Todos los recorridos de este trabajo";
    drive_nearer: "Nearer", "Näher", "Más cerca";
    drive_wider: "Wider", "Weiter", "Más amplio";
    drive_earlier: "Earlier", "Früher", "Antes";
    drive_later: "Later", "Später", "Después";
    drive_all: "All", "Alles", "Todo";
    drive_how: "Point at the picture to read the figures of that moment; turn the wheel or use the buttons to zoom.",
        "Auf das Bild zeigen, um die Werte dieses Augenblicks zu lesen; mit dem Mausrad oder den Knöpfen näher und weiter.",
        "Señale la imagen para leer los valores de ese momento; acerque o aleje con la rueda o los botones.";
    columns_title(number): "Columns of a drive, job {number}", "Spalten einer Fahrt, Auftrag {number}", "Columnas de un recorrido, trabajo {number}";
    columns_look: "What its columns are", "Was ihre Spalten sind", "Qué son sus columnas";
    columns_drive: "The drive", "Die Fahrt", "El recorrido";
    columns_none: "A standard lays down what its frames say; nothing is to be confirmed.",
        "Eine Norm legt fest, was ihre Botschaften sagen; zu bestätigen gibt es nichts.",
        "Una norma establece lo que dicen sus tramas; no hay nada que confirmar.";
    columns_confirmed(date, file): "Confirmed on {date} by {file}: every recording with these columns is read so, without asking.",
        "Am {date} mit {file} bestätigt: Jede Aufzeichnung mit diesen Spalten wird so gelesen, ohne zu fragen.",
        "Confirmado el {date} con {file}: toda grabación con estas columnas se lee así, sin preguntar.";
    columns_not_yet: "Recognised by name, unit and values, and not confirmed yet. Look whether each is right; what is of no interest stays empty.",
        "An Name, Einheit und Werten erkannt und noch nicht bestätigt. Bitte prüfen, ob jede stimmt; was nicht von Belang ist, bleibt leer.",
        "Reconocidas por nombre, unidad y valores, y aún sin confirmar. Compruebe que cada una sea correcta; lo que no interesa queda vacío.";
    columns_wrong(text): "{text} is no signal with a unit of its own: choose one of the list, or leave the field empty.",
        "{text} ist kein Signal mit einer Einheit dafür: eines aus der Liste wählen oder das Feld leer lassen.",
        "{text} no es una señal con una unidad propia: elija una de la lista o deje el campo vacío.";
    columns_next: "It counts for the recordings that are given from now on. One given before keeps its reading; take it back and give it again where that was wrong.",
        "Es gilt für Aufzeichnungen, die von jetzt an gegeben werden. Eine frühere bleibt gelesen, wie sie war; war das falsch, zurücknehmen und neu geben.",
        "Vale para las grabaciones que se den desde ahora. Una anterior queda leída como estaba; si era un error, retírela y désela de nuevo.";
    columns_right: "They are right, remember them", "Sie stimmen, merken", "Son correctas, recordarlas";
    columns_forget: "Forget them", "Vergessen", "Olvidarlas";
    column_sure(percent): "{percent} % sure", "zu {percent} % sicher", "{percent} % seguro";
}
