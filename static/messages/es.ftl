## language
language-name = Español
language-label = Idioma
decimal-sign = ,
as-it-is = { $text }
signal-danger = PELIGRO
signal-warning = ADVERTENCIA
signal-caution = ATENCIÓN

## job
refused = Así no funciona.
job-day-check = Revisión del equipo
job-line = { $settled } de { $of } pasos resueltos. Abrir la lista de pasos.
job-section-shared = { $title } · para { $count ->
    [2] ambas
   *[other] las { $count }
} calibraciones
job-count = Paso { $n } de { $of }
job-next = Después: { $what }
job-is-finished = Este trabajo está terminado.
job-is-abandoned = Este trabajo se abandonó.
job-kept = en el taller
job-stale = Esa página se dibujó antes. No se cambió nada; este es el paso en curso.
job-unanswered = No hubo respuesta, así que no se sabe si eso se guardó. Lo que escribió sigue aquí: envíelo otra vez. Nunca cuenta dos veces.
job-send-again = Enviar otra vez
step-why = Por qué importa
step-mistakes = Errores habituales
step-aloud = Leer en voz alta
step-full = Texto completo
step-choose-short = Leer esta parte con el texto corto
step-choose-full = Leer esta parte con el texto completo
step-again = hecho de nuevo
step-here = está aquí
step-done = hecho
step-held = espera un refrendo
step-left-undone = dejado sin hacer
step-open = por hacer
step-undone = deshecho { $count ->
    [one] una vez
   *[other] { $count } veces
}
steps-title = Todos los pasos
button-back = Atrás
button-steps = Pasos
button-pause = Pausa
button-trouble = ¿Fallo?
button-more = Más
button-to-step = Al paso en curso
button-all-steps = Todos los pasos
button-today = Hoy
button-record = Abrir el registro
button-confirm = Hecho
button-photo = Tomar la foto
button-start-wait = Iniciar la espera de { $time }
button-waited = Esperado
button-countersign = Refrendar
button-accept = Aceptar
button-result-done = Diagnosis dice: hecho
button-scan = Escanear con la cámara
button-measure = Comprobar las lecturas
button-moved = Corregido: medir otra vez
button-repeat = Medir otra vez
button-read-again = Guardar, y leer otra vez para la media
button-resume = Seguir
button-finish = Terminar el trabajo
choose-blocked = Todavía no
scan-spot = lugar
scan-target = objetivo
scan-state = escaneado
scan-placed = colocado
scan-waiting = pendiente
scan-read = Leído:
scan-field = Etiqueta: escanéela o escriba lo que pone debajo del código
scan-read-button = Leer
scan-holding = En la mano: { $label }
scan-match = Coincide
scan-wrong-target = Objetivo equivocado
scan-right-target-wrong-spot = Objetivo correcto, lugar equivocado
scan-already-placed = Ya colocado
scan-not-part-of-this-job = No es de este trabajo
scan-out-of-service = Fuera de servicio
scan-label-of-another-kind = Etiqueta de otra clase
scan-not-one-of-our-labels = No es una etiqueta nuestra
scan-unreadable = Ilegible
scan-next-scan-again = Limpie la etiqueta, sostenga el teléfono de frente y escanee otra vez, o escriba el texto que lleva debajo.{ $wanted ->
    [none] { "" }
   *[other] { " " }Se busca: { $wanted }.
}
scan-next-not-ours = Esta etiqueta no es de este taller. Escanee la etiqueta propia del taller en el objetivo o en el lugar.{ $wanted ->
    [none] { "" }
   *[other] { " " }Se busca: { $wanted }.
}
scan-next-not-in-kit = { $scanned } no está en el kit del taller. Añádalo en la página del kit o use uno que esté.{ $wanted ->
    [none] { "" }
   *[other] { " " }Se busca: { $wanted }.
}
scan-next-other-kind = Eso es { $kind ->
    [target] la etiqueta de un objetivo
    [spot] la etiqueta de un lugar
    [bay] la etiqueta de un puesto
    [badge] la credencial de una persona
    [test-label] la etiqueta de prueba
   *[other] otra clase de etiqueta
}.{ $wanted ->
    [none] { "" }
   *[other] { " " }Escanee { $wanted }.
}
scan-next-take-target = { $scanned } no va aquí. Déjelo aparte{ $wanted ->
    [none] .
   *[other] {" "}y tome { $wanted }.
}
scan-next-scan-spot = { $target } es el correcto. Ahora escanee su lugar: { $spot }.
scan-next-scan-target = { $spot } es el lugar correcto. Ahora escanee { $target }.
scan-next-leave-spot = { $scanned } no interviene en este paso.{ $wanted ->
    [none] { "" }
   *[other] { " " }Escanee { $wanted }.
}
scan-next-move-target = { $target } va en { $spot }. Escaneó { $here }. Llévelo allí y escanee el lugar.
scan-next-swap-targets = { $target } va en { $spot }; en { $here } va { $other }. Intercambie los dos y escanee ambos otra vez.
scan-next-all-placed = Todos los objetivos están en su lugar.
scan-next-next-pair = Quedan { $left } por colocar. Siguiente: { $wanted }.
scan-next-already-placed = { $where ->
    [none] { $scanned } ya se ha leído.
   *[other] { $scanned } ya está en { $where }.
}{ $wanted ->
    [none] { "" }
   *[other] { " " }Siguiente: { $wanted }.
}
scan-next-put-back = { $scanned } no hace falta en este trabajo. Devuélvalo a su sitio.{ $wanted ->
    [none] { "" }
   *[other] { " " }Tome { $wanted }.
}
scan-next-replace = { $why ->
    [overdue] La inspección de { $scanned } está vencida.
   *[other] { $scanned } figura como dañado.
} No lo use.{ $instead ->
    [none] { " " }Pida otro al supervisor.
   *[other] { " " }Tome { $instead } en su lugar.
}
verdict-inside = Dentro
verdict-recorded = Guardado
verdict-read-again = Guardado para la media
verdict-outside = Fuera
verdict-too-close-to-call = Demasiado justo para decidir
verdict-does-not-fit = Estas cuatro no encajan entre sí
verdict-short-inside = dentro
verdict-short-recorded = guardado
verdict-short-read-again = guardado para la media
verdict-short-outside = fuera
verdict-short-too-close-to-call = demasiado justo
measure-repeat = Lectura n.º { $count } de lo mismo: contará la media.
measure-misfit = El desajuste es { $misfit }; más de 6,6 significa que una cinta se leyó mal. Mida las cuatro otra vez.
measure-odd-one = La que no encajaba era: { $tape }.
measure-odd-first-set-fits = Los dos juegos encajan; ninguna cinta es la que no cuadra.
measure-odd-no-single-tape = Ninguna cinta sola explica el desajuste: se leyó mal más de una, o el soporte se movió entretanto.
measure-odd-more-than-one-tape = El desajuste puede estar en más de una cinta; solo otro juego lo aclara.
measure-odd-of-two = De dos lecturas que difieren nadie puede decir cuál no cuadra; una tercera sí.
measure-odd-none = Ninguna lectura se aparta de las demás (prueba de Grubbs, 1 %).
measure-left-out = { $label }: la lectura n.º { $no }, { $value } { $unit }, se aparta de las demás y se excluye (prueba de Grubbs, 1 %). Mire si se leyó mal.
measure-track = Calculado con las marcas de los bujes a { $length }, como se midieron en este trabajo.
measure-so-far = Hasta ahora: { $values }
instrument-tape = Cinta
instrument-scale = Escala
instrument-plumb-bob = Plomada
instrument-inclinometer = Inclinómetro
instrument-distance-meter = Distanciómetro láser
instrument-tyre-gauge = Manómetro
instrument-light-meter = Luxómetro
instrument-named = { $name } ({ $code })
instrument-due = { $name } ({ $code }), inspeccionar antes de { $day }
instrument-none = Ninguno del kit: las cifras habituales
instrument-unfit = Hoy ninguno del kit sirve para usarse.
part-mean = media de { $count }, s = { $s } { $unit }
repeats-none = Repetir no lo decidirá: hace falta un método mejor, o decide un supervisor.
repeats-settle = { $count ->
    [one] Una lectura más
   *[other] { $count } lecturas más
} con esta media lo decidirían.
repeats-unknown = Mida otra vez: una segunda lectura muestra cuánto se dispersan.
limits-between = { $low } a { $high } { $unit }
limits-at-most = como máximo { $value } { $unit }
limits-at-least = como mínimo { $value } { $unit }
part = medido
part-value = valor ± U
part-distance-mm = Distancia
part-offset-mm = Desvío a la izquierda
part-yaw-deg = Giro a la izquierda
part-along-mm-per-m = Caída a lo largo
part-across-mm-per-m = Caída a lo ancho
part-residual-mm = Mayor irregularidad
part-thrust-deg = Empuje a la derecha
reading-left-left = buje izq. – marca izq.
reading-right-right = buje der. – marca der.
reading-left-right = buje izq. – marca der.
reading-right-left = buje der. – marca izq.
reading-front-left-x = delante izq., a lo largo
reading-front-left-y = delante izq., a lo ancho
reading-front-right-x = delante der., a lo largo
reading-front-right-y = delante der., a lo ancho
reading-rear-left-x = detrás izq., a lo largo
reading-rear-left-y = detrás izq., a lo ancho
reading-rear-right-x = detrás der., a lo largo
reading-rear-right-y = detrás der., a lo ancho
reading-tyre-front-left = junto al neumático, delante izq.
reading-tyre-front-right = junto al neumático, delante der.
reading-tyre-rear-left = junto al neumático, detrás izq.
reading-tyre-rear-right = junto al neumático, detrás der.
floor-reads = Debe marcar { $length }.
floor-lies = { $way ->
    [lower] El suelo queda aquí { $fall } más bajo que el plano en que se apoyan los neumáticos (U = { $U }); ya está tenido en cuenta.
    [higher] El suelo queda aquí { $fall } más alto que el plano en que se apoyan los neumáticos (U = { $U }); ya está tenido en cuenta.
   *[level] El suelo queda aquí a la altura del plano en que se apoyan los neumáticos (U = { $U }).
}
floor-not-surveyed = Este suelo no se levantó desde los neumáticos: no se tiene nada en cuenta.
reading-toe-left = convergencia trasera izq.
reading-toe-right = convergencia trasera der.
advice-turn = Gírelo: extremo izquierdo { $length } { $left_end ->
    [away] alejándolo del vehículo, el derecho otro tanto acercándolo
   *[nearer] acercándolo al vehículo, el derecho otro tanto alejándolo
}
advice-slide = Deslícelo { $length } a la { $to ->
    [left] izquierda
   *[right] derecha
}
advice-move = Muévalo { $length } { $to ->
    [nearer] hacia el vehículo
   *[farther] alejándolo del vehículo
}
advice-measure-again = Mida otra vez las cuatro cintas, con una persona en cada extremo.
expect = Entonces las cintas marcan:
overrule = Supervisor: darlo por válido
overrule-reason = Por qué puede valer
overrule-button = Darlo por válido
witness-badge = Credencial del supervisor: escanéela
witness-pin = PIN del supervisor
hold = Punto de parada
hold-why = Un supervisor lo mira antes de que usted siga.
hold-photo = Foto de este paso
ask-open = Preguntar al teléfono de un supervisor
ask-show = Muestre este código al supervisor: su teléfono lo escanea desde su página Hoy.
ask-wait = Mira y responde. Después escanee el código que muestra su teléfono.
ask-scan = Escanear la respuesta
ask-photo = Fotografiar la respuesta
code-picture = Código para otro teléfono
vouch-open = Escanear el código de un compañero
vouch-title = Refrendar por código
vouch-lead = El teléfono de su compañero muestra un código en el paso que espera. No hace falta red.
vouch-scan = Escanear el código
vouch-photo = Fotografiar el código
vouch-who = Aquí solo responde un supervisor o responsable, en el teléfono que empezó con su credencial y su PIN.
vouch-cut = No todo cabe en el código. Mire el resto en el teléfono de su compañero.
vouch-accepted = Aceptado
vouch-returned = Devuelto
vouch-show = Ponga este código ante el teléfono de su compañero: vale en cuanto ese teléfono lo haya escaneado.
vouch-next = Escanear otro código
vouch-unpaired = Solo un teléfono emparejado responde al código de un compañero. Empareje este antes, o abra aquí el trabajo.
return-open = Devolver
return-reason = Qué hay que repetir, y por qué
return-button = Devolver
returned = Devuelto por un supervisor
photo-send = Enviar la foto
result-failed = El equipo de diagnosis dice: fallida
result-failures = { $count ->
    [one] Primer intento fallido.
   *[other] { $count } intentos fallidos.
}
result-causes = Busque la causa antes de un segundo intento. Primero la más probable:
result-say-failed = El equipo de diagnosis dice: fallida
result-say-not-run = No se pudo ejecutar
result-code = Código, tal como lo muestra el equipo de diagnosis
result-text = Qué dice el equipo de diagnosis
result-reason = Por qué no se ejecutó
result-failed-button = Guardar el intento fallido
result-not-run-button = Guardar: no ejecutada
cause-odds = { $likely ->
    [often] A menudo
    [sometimes] A veces
   *[seldom] Rara vez
} es la causa. Comprobarlo lleva { $time }.
trouble-title = ¿Qué ocurre?
trouble-no-causes = No hay causas conocidas en este paso. Diga lo que ve; queda en el registro.
trouble-back = Volver a:
trouble-found = Era esto
trouble-other = Otra cosa
trouble-keep = Dejarlo en el registro
pause-title = ¿Por qué hace una pausa?
pause-why = El tiempo del paso se detiene hasta que siga.
pause-parts = Esperando recambios
pause-customer = Cliente
pause-other-job = Otro trabajo
pause-break = Descanso
pause-equipment = Equipo
paused-title = En pausa
more-title = Más
more-note = Nota
more-signals = Sonido y vibración en este teléfono: corto si el escaneo es bueno, largo y dos veces si es malo
more-note-button = Guardar la nota
more-leave = Este paso no se puede hacer
more-leave-why = Queda abierto en el registro, y un supervisor debe dar su acuerdo antes de terminar el trabajo.
more-leave-button = Dejarlo sin hacer
more-abandon = Abandonar el trabajo
more-abandon-why = Lo hecho queda en el registro. Las funciones de asistencia pueden actuar de forma inesperada hasta que se calibren: avise al cliente, por escrito.
more-abandon-button = Abandonar el trabajo
more-reason = Motivo
undo-reason = ¿Por qué se deshace?
undo-button = Deshacer este paso
finish-title = Todo está resuelto
finish-clear = No queda nada abierto
finish-clear-text = Todos los pasos están hechos. Termine, y se hace el registro.
finish-open = Queda abierto
finish-open-text = Vuelva y hágalo, o pida a un supervisor que acepte que quede abierto.
finish-waits = El trabajo espera
finish-waits-shop = { $count ->
    [one] El taller aún tiene que comprobar un refrendo. Vaya donde se alcance el taller; después se puede terminar el trabajo.
   *[other] El taller aún tiene que comprobar { $count } refrendos. Vaya donde se alcance el taller; después se puede terminar el trabajo.
}
finish-waits-wrong = { $count ->
    [one] Un refrendo no era válido. Deshaga ese paso y haga que se refrende otra vez.
   *[other] { $count } refrendos no eran válidos. Deshaga esos pasos y haga que se refrenden otra vez.
}
finish-waits-phone = El taller aún no sabe quién había empezado con el teléfono del supervisor. Se sigue cuando ese teléfono haya alcanzado el taller.
open-left-undone = dejado sin hacer
open-not-run = no ejecutada
outcome-done = diagnosis: hecha
outcome-failed = diagnosis: fallida
outcome-not-run = no ejecutada
fact-option = Respuesta: { $option }
fact-placed = { $target } en { $spot }
fact-countersigned = Refrendado por { $by }

## apart
apart-count = { $count ->
    [one] Hay una cosa que mirar
   *[other] Hay { $count } cosas que mirar
} en este trabajo
apart-same-step = Dos teléfonos hicieron este paso sin saber el uno del otro. Se guardan los dos; cuenta el último.
apart-job-ended = Esto se hizo después de que otro teléfono cerrara el trabajo. Se guarda y no cambia nada.
apart-ended-open = El trabajo se terminó en un teléfono, sin saber lo que se hizo aquí en otro. El paso está abierto, y el trabajo cuenta como terminado.
apart-decided = El servidor del taller, al decidir de nuevo, llegó a otra cosa: { $what }.
apart-answer = Lo que respondió el teléfono del supervisor no era válido. Haga refrendar el paso otra vez.
apart-answer-waits = El taller aún no sabe quién había empezado con el teléfono del supervisor. Lo mira otra vez cuando ese teléfono haya alcanzado el taller.
apart-pin = El PIN del supervisor no era válido. Haga refrendar el paso otra vez.
apart-sign-in = Empezado con un PIN erróneo: desde aquí, el trabajo de este teléfono puede ser de otra persona.
apart-sheet-made = El teléfono hizo su hoja con otros procedimientos que los que tiene ahora el servidor. El trabajo sigue la hoja del teléfono.
apart-chain = Lo que este teléfono registró aquí no sigue a lo que registró antes: algo se quitó, se añadió o se cambió en él. Un responsable lo examina.
apart-by-phone = El teléfono
apart-by-server = El servidor
apart-by-nobody = Sin credencial
apart-did = { $detail ->
    [none] { $what }
   *[other] { $what }: { $detail }
}
apart-did-confirmed = hecho
apart-did-chosen = respondido
apart-did-scanned = escaneado
apart-did-measured = medido
apart-did-overruled = lectura dada por válida
apart-did-photographed = foto tomada
apart-did-wait-started = espera iniciada
apart-did-waited = esperado
apart-did-countersigned = refrendado
apart-did-returned = devuelto
apart-did-resulted = resultado de la diagnosis
apart-did-left-undone = dejado sin hacer
apart-did-undone = deshecho
apart-did-troubled = hubo un problema
apart-did-started = trabajo iniciado
apart-did-paused = en pausa
apart-did-resumed = reanudado
apart-did-noted = nota
apart-did-finished = trabajo terminado
apart-did-abandoned = trabajo abandonado

## pages
nav-label = Páginas
nav-today = Hoy
nav-times = Tiempos
nav-kit = Kit
nav-people = Personas
nav-phones = Teléfonos
nav-shops = Talleres
nav-no-badge = sin credencial
nav-unchecked = { $name }, PIN por comprobar
refused-back = Atrás

## again
again-title = Enviar otra vez
again-why = Este formulario es demasiado antiguo o no se hizo para este navegador. No se hizo nada. Mire lo que dice; si lo rellenó usted, envíelo otra vez.
again-send = Enviar otra vez
again-pin = El PIN, otra vez
again-file = La foto o el archivo, otra vez
upload-too-large = Lo enviado es demasiado grande. Una foto puede tener 25 MB: tómela otra vez con menos resolución, o escriba lo que muestra.
page-unknown = Aquí no hay ninguna página { $path }; desde la página Hoy se llega a todas.
page-other-way = { $path } recibe un formulario de su propia página y no se abre por sí sola; la página Hoy lleva a ella.
page-not-understood = Lo enviado no se pudo leer y no se guardó nada. Abra la página otra vez y repítalo.
page-broken = Algo falló en Baybook mismo. De lo que envió se guardó todo o nada: abra la página otra vez, mire, y repítalo si hace falta. Si vuelve a ocurrir, diga a quien cuida el ordenador del taller que fue a las { $at }; el diario del servidor dice más.

## camera
camera-title = Cámara
camera-open = Cámara
camera-still = Fotografiar la etiqueta
camera-starting = Iniciando la cámara …
camera-looking = Buscando el código
camera-several = Hay más de un código a la vista. Deje uno solo en el encuadre.
camera-other = Un código, pero no el que se pide
camera-reading = Leyendo la foto …
camera-shooting = Tome una foto con un solo código.
camera-unread = No se lee ningún código en la foto. Acérquese, enfoque y evite reflejos, o escriba el texto.
camera-refused = Baybook no puede usar la cámara. Permítalo en los ajustes del teléfono para esta aplicación, tome una foto o escriba el texto.
camera-none = Este teléfono no muestra ninguna cámara. Tome una foto o escriba el texto.
camera-busy = La cámara no arranca: puede que la tenga otra aplicación. Ciérrela y pruebe otra vez, tome una foto o escriba el texto.
camera-black = No llega imagen, o es toda negra. ¿Está tapado el objetivo? Pruebe otra vez; si no, tome una foto o escriba el texto.
camera-undecoded = El lector de códigos aún no está en este teléfono y no se alcanza el taller. Escriba el texto.
camera-torch = Luz
camera-again = Probar otra vez
camera-photo = Tomar una foto
camera-close = Cerrar la cámara
camera-insecure = La imagen en vivo necesita la dirección HTTPS del taller. Aquí sirve una foto, un lector o escribir.

## labels
labels-sheet-title = Etiquetas Baybook
labels-sheet-check = Mida esto: { $length } mm. Si no es así, imprima otra vez al 100 %, sin ajustar a la página.
labels-sheet-about = Etiquetas { $size } mm · página { $page } de { $pages }
labels-title = Etiquetas
labels-lead = Elija de qué imprimir una etiqueta. La hoja es A4 a tamaño real; imprima al 100 % en papel mate: el brillo refleja la luz y esconde el código.
labels-size = Tamaño
labels-size-50 = 50 mm, se lee a un brazo de distancia
labels-size-90 = 90 mm, se lee a dos metros
labels-all-of-kind = { $kind ->
    [target] Los { $count } objetivos
    [spot] Los { $count } lugares
    [bay] Los { $count } puestos
    [test-label] La etiqueta de prueba
   *[badge] Las { $count } credenciales
}
labels-print = Hacer la hoja
labels-code-of = Código QR de la etiqueta de { $name }

## kit
kit-title = Kit
kit-add = Añadir al kit
kit-add-button = Añadir
kit-back = Todo el kit
kit-print-labels = Imprimir etiquetas
kit-print-label = Imprimir esta etiqueta
kit-label = Su etiqueta
kit-empty = Todavía no hay nada en el kit. Añada los puestos, los lugares y los objetivos; después imprima sus etiquetas.
kit-out-of-service = { $count ->
    [one] Una cosa no se debe usar
   *[other] { $count } cosas no se deben usar
}
kit-kind-target = Objetivo
kit-kind-spot = Lugar
kit-kind-bay = Puesto
kit-kind-test-label = Etiqueta de prueba
kit-kind-tool = Herramienta
kit-kinds-target = Objetivos
kit-kinds-spot = Lugares
kit-kinds-bay = Puestos
kit-kinds-test-label = Etiquetas de prueba
kit-kinds-tool = Herramientas
kit-kinds-badge = Credenciales
kit-a-bay = Puesto
kit-a-tool = Otra herramienta, sin etiqueta
kit-good = en servicio
kit-due-soon = inspección próxima
kit-overdue = inspección vencida
kit-damaged = dañado
kit-due-on = inspeccionar antes de { $day }
kit-no-inspection = sin fecha de inspección
kit-lives = se guarda en: { $where }
kit-no-home = sin sitio fijo
kit-what = Qué es
kit-what-help = Los procedimientos piden objetivos y lugares por estos nombres.
kit-name = Nombre
kit-name-help = Como lo llama la gente. Si queda vacío, se llama como arriba.
kit-code = Código
kit-code-help = Si queda vacío, recibe uno nuevo. Como máximo 20 mayúsculas, cifras y guiones.
kit-condition = Estado
kit-condition-good = bueno
kit-condition-damaged = dañado, no se debe usar
kit-inspected-on = Inspeccionado el
kit-inspection-due = Inspeccionar de nuevo antes del
kit-inspection-due-help = Si queda vacío, su inspección nunca vence.
kit-home = Dónde se guarda
kit-note = Nota
kit-bay-size = Para un puesto: su suelo libre
kit-width = Ancho en { $unit ->
    [in] pulgadas
   *[mm] mm
 }
kit-length = Largo en { $unit ->
    [in] pulgadas
   *[mm] mm
 }
kit-plan = Cómo se ve desde arriba
kit-plan-help = Primera línea: las esquinas de su suelo, cada una dos números en { $unit ->
    [in] pulgadas
   *[mm] mm
 } desde donde queda el punto medio entre las ruedas delanteras, hacia delante y a la izquierda; en el orden en que se recorren. Después, una línea por cada cosa que haya allí. Por ejemplo { $unit ->
    [in] “Puesto: 177 82-1/2; 177 -82-1/2; -276 -82-1/2; -276 82-1/2”, y debajo “Pilar: 36 71; 36 83; 24 83; 24 71”.
   *[mm] “Puesto: 4500 2100; 4500 -2100; -7000 -2100; -7000 2100”, y debajo “Pilar: 900 1800; 900 2100; 600 2100; 600 1800”.
 }
kit-accuracy = Para un instrumento: cuán seguro es
kit-accuracy-help = Como dice su clase o su certificado. Una cinta de clase de exactitud II: 0,3 y 0,2 por cada metro. Si queda vacío, valen las cifras habituales.
kit-accuracy-none = No se indica cuán seguro es: valen las cifras habituales.
kit-shape = La cifra es
kit-shape-rectangular = el error máximo (clase, hoja de datos)
kit-shape-triangular = el error máximo, pocas veces alcanzado
kit-shape-expanded = la incertidumbre expandida U (certificado)
kit-half-width = ± error máximo, o U
kit-per-m = y por cada metro
kit-k = k, para U
kit-sure-rectangular = Bueno hasta ± { $half_width } { $unit }{ $per_m ->
    [0] {""}
   *[other] , y { $per_m } { $unit } más por cada metro
 }.
kit-sure-triangular = Bueno hasta ± { $half_width } { $unit }, pocas veces alcanzado{ $per_m ->
    [0] {""}
   *[other] , y { $per_m } { $unit } más por cada metro
 }.
kit-sure-expanded = U = { $half_width } { $unit } (k = { $k }) según su certificado{ $per_m ->
    [0] {""}
   *[other] , y { $per_m } { $unit } más por cada metro
 }.
kit-keep = Guardar los cambios
kit-report = ¿Tiene algún defecto?
kit-report-what = Qué le pasa
kit-report-help = Queda fuera de servicio al momento. Un supervisor o un responsable lo repone.
kit-report-button = Retirar del servicio

## specs
specs-title = Especificaciones
specs-lead = Las cifras con las que se trabaja cada modelo. El taller anota las suyas, cada una con su fuente; una segunda persona las aprueba antes de que un trabajo las use.
specs-back = Todas las especificaciones
specs-new = Empezar una especificación
specs-new-button = Empezar
specs-own = Las del taller
specs-own-none = Todavía ninguna. Un responsable copia una de las que trae Baybook o empieza de nuevo.
specs-shipped = Las que trae Baybook
specs-ships-lead = Esta viene con Baybook y no se puede cambiar. Cópiela para que sea del taller.
specs-copy-this = Copiar esta
specs-replaced = se usa la del taller
specs-revision = Revisión { $revision }
specs-state-in-use = Aprobada: revisión { $approved } en uso
specs-state-newer = Revisión { $approved } en uso, la { $revision } espera
specs-state-draft = Borrador, todavía no se usa
specs-state-withdrawn = Retirada: revisión { $approved }
specs-state-unfit = La revisión { $approved } ya no encaja con los procedimientos: revísela
specs-approved-by = La revisión { $revision } la aprobó { $name }, { $at }.
specs-withdrawn-by = Retirada por { $name }, { $at }.
specs-saved-by = La revisión { $revision } la guardó { $name }, { $at }.
specs-in-place = Se usa en lugar de la que trae Baybook.
specs-ships-meanwhile = Hasta que se apruebe, se usa la que trae Baybook.
specs-manager-only = Solo un responsable empieza o cambia una especificación: escanee antes su credencial en este teléfono.
specs-copy = Partir de
specs-copy-none = nada
specs-copy-help = Se copian sus cifras; compruebe cada una con su propia fuente.
specs-maker = Fabricante
specs-model = Modelo
specs-model-help = Si quedan vacíos, siguen como en la copiada y la especificación se usa en su lugar. Con otro modelo es una especificación propia.
specs-import = Desde un archivo
specs-file = Archivo YAML
specs-file-help = Como los guarda la biblioteca: un vehículo por archivo.
specs-import-button = Leer el archivo
specs-file-wrong = { $count ->
    [one] No se aceptó el archivo: 1 línea está mal.
   *[other] No se aceptó el archivo: { $count } líneas están mal.
}
specs-line = Línea { $line }:
specs-faults = { $count ->
    [one] Falta una cosa para poder aprobarla
   *[other] Faltan { $count } cosas para poder aprobarla
}
specs-lacks = Falta rellenar: { $names }.
specs-to-do = faltan { $count }
specs-parts = Partes
specs-part-about = El vehículo
specs-part-questions = Preguntas sobre él
specs-part-figures = Sus propias cifras
specs-part-variant = Otras cifras ({ $answers })
specs-edit = Cambiar
specs-remove = Quitar
specs-nothing-yet = todavía nada
specs-add = Otra calibración
specs-add-button = Añadirla
specs-variant = Otras cifras para una respuesta
specs-variant-button = Añadirlas
specs-approve = Aprobar la revisión { $revision }
specs-approve-lead = La guardó { $name }; otra persona responde de cada una de sus cifras.
specs-look-first = Mire antes qué ha cambiado.
specs-approve-button = Aprobarla
specs-signs = { $name } firma con su PIN.
specs-other-badge = Firma otra persona
specs-badge = Credencial de un supervisor o responsable
specs-withdraw = Retirarla
specs-withdraw-lead = Ningún trabajo nuevo usa ya estas cifras; un trabajo en marcha conserva su hoja.
specs-withdraw-ships = Vuelve a usarse la que trae Baybook.
specs-withdraw-why = Por qué
specs-withdraw-button = Retirar
specs-revisions = Revisiones
specs-was-approved = aprobada por { $name }, { $at }
specs-was-withdrawn = retirada por { $name }, { $at }
specs-export = Guardar como archivo
specs-against = Frente a
specs-show = Mostrar
specs-no-difference = No hay diferencias.
specs-field = Campo
specs-years = Años de modelo
specs-years-help = Como 2019-2023, o 2024- si todavía se fabrica.
specs-vin = Patrones de VIN
specs-vin-help = Uno por línea: 17 caracteres con ? para cualquiera, o un principio y *.
specs-outline = Medidas, mm
specs-outline-length = Longitud
specs-outline-width = Anchura sin espejos
specs-outline-wheelbase = Batalla
specs-outline-front-overhang = Voladizo delantero
specs-outline-track-front = Vía delantera
specs-outline-track-rear = Vía trasera
specs-questions-lead = Marque las respuestas que puede tener este modelo. Una pregunta sin ninguna marcada no se hace.
specs-source = Fuente
specs-source-help = De dónde vienen las cifras, como la cita el registro. Sin ella no se aprueba nada.
specs-reference = El sensor se orienta según
specs-line-own = como toda la especificación
specs-line-centreline = Línea central
specs-line-thrust-line = Línea de empuje
specs-line-bumper = Parachoques
specs-line-hub = Buje
specs-line-emblem = Emblema
specs-figures = Cifras
specs-taken-by = La usa: { $step }
specs-number-value = Valor
specs-number-nominal = Nominal
specs-number-tolerance = Tolerancia ±
specs-number-low = Mínimo
specs-number-high = Máximo
specs-unit = Unidad
specs-more = Referencia y fuente propias
specs-counts-from = Cuenta desde
specs-other-source = Otra fuente
specs-other-source-help = Vacía: la fuente de arriba.
specs-other-revision = Su revisión
specs-placements = Dónde están los objetivos
specs-placements-help = Desde el punto medio entre los puntos de referencia delanteros: x hacia delante, y hacia la izquierda, altura del centro sobre el apoyo de los neumáticos.
specs-target = Objetivo
specs-spot = Lugar
specs-place-x = x, mm
specs-place-y = y, mm
specs-place-height = Altura, mm
specs-place-yaw = Giro, deg
specs-save = Guardar
specs-save-help = Al guardar se hace la revisión { $revision }. Las anteriores se conservan.

## people
people-title = Personas
people-lead = La credencial y el PIN dicen quién trabaja. El PIN de un supervisor o responsable también refrenda.
people-add = Añadir a alguien
people-add-button = Añadir
people-back = Todas las personas
people-empty = Todavía no hay nadie. Añada primero al responsable.
people-first = Todavía no hay nadie que pueda firmar. Añada primero a un supervisor o responsable con PIN: desde entonces, cada cambio de aquí se firma.
people-first-code = Código inicial
people-first-code-help = El terminal del servidor lo muestra al arrancar. Sirve una sola vez.
role-technician = técnico
role-apprentice = aprendiz
role-supervisor = supervisor
role-manager = responsable
people-signs = tiene PIN
people-signs-not = aún no tiene PIN y no puede empezar
people-left = ya no trabaja aquí
people-works-here = trabaja aquí
people-here = Aquí
people-name = Nombre
people-role = Función
people-pin = PIN
people-pin-help = De 4 a 8 cifras. Sin él nadie puede empezar a trabajar.
people-new-pin = PIN nuevo
people-new-pin-help = Si queda vacío, el PIN sigue igual.
people-code = Credencial
people-code-help = Si queda vacío, se hace una credencial nueva. Como máximo 20 mayúsculas, cifras y guiones.
people-badge = Credencial
people-print-badge = Imprimir esta credencial
people-short = Texto corto: { $count ->
    [0] de nada
    [one] de un procedimiento
   *[other] de { $count } procedimientos
}
people-short-help = De lo marcado, esta persona ve el texto corto de cada paso, y el completo al desplegarlo. Las advertencias, lecturas, mediciones y puntos de parada están siempre. Todos menos los aprendices pueden cambiarlo también en el paso.
people-short-calibrations = Calibraciones
people-short-around = Antes y después
people-your-pin = Su propio PIN
people-your-pin-help = Firma este cambio.
people-keep = Guardar los cambios

## competence
competence-open = Competencia
competence-title = { $name }: competencia
competence-lead = Quien hace una calibración bajo supervisión encuentra todos sus puntos de espera; los demás, los previstos para todos.
competence-alone = sin supervisión
competence-supervised = bajo supervisión
competence-proposed = { $passed } trabajos supervisados pasaron a la primera y se piden { $enough }: un supervisor puede autorizarlo sin supervisión.
competence-passed = { $passed } de { $enough } trabajos supervisados pasaron a la primera
competence-say = Decir cómo se trabaja
competence-calibration = Calibración
competence-level = Desde ahora
competence-reason = Por qué
competence-button = Confirmar
competence-history = Lo que se dijo
competence-nothing = Todavía nada.

## badge
badge-title = ¿Quién trabaja?
badge-now = { $name }, { $role }, tiene este teléfono.
badge-field = Su credencial
badge-help = Escanéela, o escriba el texto bajo el código. Después viene su PIN.
badge-button = Seguir
badge-leave = Devolver el teléfono
badge-lock = Bloquear ahora
pin-asks = De quién es esta credencial
pin-locked = Este teléfono está bloqueado
pin-field = PIN
pin-keys = Teclas numéricas
pin-back = Borrar
pin-button = Empezar
pin-other = Otra persona
badge-sign-in-wrong = El PIN de { $name } de las { $time } era erróneo. Cada trabajo hecho con él lo dice. Escanee su credencial e indique su PIN otra vez.

## times
times-title = Tiempos
times-lead = Cuánto tarda aquí cada calibración, según los trabajos terminados de este taller. Los tiempos hablan del trabajo, nunca de quién lo hace.
times-types-caption = Minutos que tarda una calibración: sus propios pasos y su parte de la preparación común
times-calibration = Calibración
times-jobs = Trabajos
times-median = La mitad en
times-p80 = 4 de 5 en
times-median-min = La mitad en, minutos
times-p80-min = 4 de 5 en, minutos
times-own = Pasos propios
times-shared = Parte de la preparación
times-whole = Tiempo total
times-first-time = Bien a la primera
times-of = { $passed } de { $n }
times-rate-interval = { $low }–{ $high } %
times-interval = { $low }–{ $high }
times-interval-from = al menos { $low }
times-interval-none = necesita { $needs } trabajos
times-too-few = { $n ->
    [0] Aún no cuenta ningún trabajo: la estadística empieza con 5.
    [one] Cuenta un trabajo: muy pocos para la estadística, que empieza con 5.
   *[other] Cuentan { $n } trabajos: muy pocos para la estadística, que empieza con 5.
}
times-none-yet = Aún no se ha terminado ningún trabajo. Cuando haya uno, aquí están sus tiempos.
times-none-like-this = Ningún trabajo terminado es así.
times-strip-of = { $name }: { $n ->
    [one] un trabajo
   *[other] { $n } trabajos
} sobre una línea de minutos; las cifras están al lado.
times-run-of = { $name }: { $n ->
    [one] un trabajo
   *[other] { $n } trabajos
} en el orden en que se terminaron; la tabla de trabajos tiene las mismas cifras.
times-spot = { $order }: { $minutes } min
times-key-job = un trabajo
times-key-again = no bien a la primera
times-key-estimated = estimado: falló un reloj
times-key-beyond = más largo que la escala
times-key-median = la mitad en
times-key-p80 = 4 de 5 en
times-key-limit = normalmente como máximo
times-key-notice = más largo de lo normal: ¿qué pasó?
times-narrow = Solo algunos trabajos
times-narrow-do = Mostrar estos
times-since = Desde
times-until = Hasta
times-any = cualquiera
times-vehicle = Vehículo
times-bay = Puesto
times-placing = Colocación
times-revision = Revisión del procedimiento
times-all-jobs = Otra vez todos los trabajos
times-left-out = { $n } fuera
times-narrowed = Solo { $which }.
times-narrowed-since = desde { $day }
times-narrowed-until = hasta { $day }
times-narrowed-with = { $label }: { $words }
times-type-title = { $name }: tiempos
times-whole-caption = Minutos, de { $n } trabajos
times-run-title = Trabajo a trabajo
times-run-what = Minutos de sus propios pasos, primero el trabajo más antiguo: cómo se repartió la preparación no influye aquí. Toque un punto para ver su registro.
times-jobs-table = { $n ->
    [one] El único trabajo como tabla
   *[other] Los { $n } trabajos como tabla
}
times-where = En qué se va el tiempo
times-own-caption = Pasos propios, minutos
times-shared-caption = Preparación común, minutos: su parte de cada paso
times-waits-caption = Detenido por un refrendo, minutos: no está en los tiempos de arriba
times-pauses-caption = Pausas de estos trabajos, minutos: no están en los tiempos de arriba
times-step = Paso
times-pause = Motivo
times-redone = hecho de nuevo en { $n ->
    [one] un trabajo
   *[other] { $n } trabajos
}
times-jobs-title = { $name }: trabajos
times-jobs-all = { $n ->
    [one] Un trabajo
   *[other] { $n } trabajos
}
times-jobs-again = { $n ->
    [one] Un trabajo no salió bien a la primera
   *[other] { $n } trabajos no salieron bien a la primera
}
times-jobs-left-out = { $n ->
    [one] Un trabajo queda fuera de la estadística
   *[other] { $n } trabajos quedan fuera de la estadística
}
times-jobs-caption = { $name }, minutos, primero el último
times-jobs-latest = Estos son los últimos { $n }; el archivo los tiene todos.
times-step-caption = Primero el más largo, minutos
times-others = { $n ->
    [one] Uno más corto
   *[other] { $n } más cortos
}
times-jobs-show-all = Los { $n } trabajos
times-job = Orden de reparación
times-finished = Terminado
times-outcome = Diagnosis
times-outcome-done = ● hecha
times-outcome-again = ◐ hecha, no a la primera
times-outcome-failed = ⊗ fallida
times-outcome-not-run = ○ no ejecutada
times-outcome-left-undone = ○ dejada sin hacer
times-estimated = estimado
times-step-title = { $name }: un paso
times-at-it = En ello
times-held = Detenido
times-attempts = Veces hecho
times-files = Para llevarse
times-file-jobs = Trabajos en CSV
times-file-steps = Pasos en CSV
times-columns = Qué significan las columnas
times-how = Cómo se hacen estas cifras
times-how-median = La mitad en
times-how-median-is = La mediana: la mitad de los trabajos no tardó más. Una media se la llevaría un solo día malo.
times-how-p80 = 4 de 5 en
times-how-p80-is = El percentil 80: lo que conviene prometer a un cliente. Ambos se leen de los tiempos ordenados, en el lugar (n − 1) · p, como hacen las hojas de cálculo.
times-how-interval = Las cifras pequeñas
times-how-interval-is = Dónde está el valor verdadero, con un 95 % de confianza: para los tiempos un intervalo por estadísticos de orden (binomial exacto), para las proporciones un intervalo de Wilson. Con pocos trabajos es ancho, y esa es la verdad: un extremo superior de «4 de 5 en» pide 17.
times-how-own = Pasos propios
times-how-own-is = Solo los pasos de esta calibración, con todos los intentos, sin pausas y sin esperar un refrendo.
times-how-shared = Parte de la preparación
times-how-shared-is = La preparación y el cierre se hacen una vez para todas las calibraciones de un trabajo. Cada una a la que sirven lleva una parte igual, de modo que las partes suman el tiempo trabajado. Las medianas de las partes no suman la mediana del total.
times-how-first = Bien a la primera
times-how-first-is = El equipo de diagnosis dijo hecho y antes no había fallado ningún intento. Lo no ejecutado no se cuenta.
times-how-estimated = Excluidos
times-how-estimated-is = Tiempos estimados, porque el teléfono se reinició o se cambió por el camino, y calibraciones que no se llevaron hasta el final. Se muestran y se cuentan, y quedan fuera de la estadística.
times-how-limit = Normalmente como máximo
times-how-limit-is = A partir de 12 trabajos: la media más 2,66 veces la diferencia media de un trabajo a otro. Un trabajo por encima merece una pregunta. Los tiempos se inclinan hacia lo largo, así que es una pregunta y no un veredicto.
times-how-people = Personas
times-how-people-is = Aquí no hay cifras de ninguna persona, ni clasificación.
times-trend = Tendencia
times-trend-of = { $name }: medianas de trabajos, un grupo tras otro; las cifras están al lado.
times-trend-few = la tendencia necesita 10 trabajos
times-trend-what = Los trabajos que cuentan, en hasta 12 grupos del mismo tamaño, el más antiguo primero: la mitad de cada grupo no tardó más que su punto. Las líneas muestran dónde está la mediana, con el 95 %.
times-setup-share = De ello preparación
times-per-cent = { $n } %
times-person = Persona
times-share = Del total
times-so-far = Acumulado
times-bar-of = { $name }: la mitad en { $median } min, 4 de 5 en { $p80 } min
times-behind = Las cifras de este gráfico
times-minutes = Minutos
times-interval-heading = Dónde está
times-bin = de { $low } a { $high }
times-bin-last = { $low } y más
times-distribution = Cómo se reparten los trabajos
times-distribution-what = Cuántos trabajos tardaron cuántos minutos, tiempo total. La última barra reúne todos los que tardaron más.
times-distribution-of = { $name }: distribución de { $n } trabajos por minutos, con la mediana y el percentil 80; las cifras están debajo.
times-key-mean = la media
times-run-figures = Media { $mean } min; normalmente entre { $low } y { $high } min, y de un trabajo al siguiente no más de { $change } min de diferencia.
times-noted-caption = Lo que destaca
times-rule = Por qué
times-rule-more = { $rule }, y { $more ->
    [one] el trabajo siguiente
   *[other] los { $more } trabajos siguientes
}
times-rule-beyond-limit = fuera de los límites habituales
times-rule-two-of-three = dos de tres trabajos muy apartados hacia un lado
times-rule-four-of-five = cuatro de cinco trabajos apartados hacia un lado
times-rule-eight-in-a-row = ocho trabajos seguidos al mismo lado de la media
times-effect-title = ¿Ha cambiado algo?
times-effect-of-revision = Pasos propios con la revisión { $after } del procedimiento ({ $m } trabajos) frente a la revisión { $before } ({ $n } trabajos):
times-effect-of-day = Pasos propios desde el { $after } ({ $m } trabajos) frente a antes ({ $n } trabajos):
times-effect-none = no se aprecia diferencia (de { $low } a { $high } min).
times-effect-longer = { $by } min más (de { $low } a { $high } min).
times-effect-shorter = { $by } min menos (de { $low } a { $high } min).
times-effect-few = Los trabajos mostrados siguen una sola revisión del procedimiento, o muy pocos siguen otra: comparar requiere 5 trabajos en cada lado.
times-effect-few-day = Muy pocos trabajos: comparar requiere 5 trabajos a cada lado del día.
times-effect-revision-before = Revisión { $name }
times-effect-revision-after = Revisión { $name }
times-effect-day-before = Antes del { $name }
times-effect-day-after = Desde el { $name }
times-compare = Comparar antes y desde este día
times-compare-do = Comparar
times-rework = Lo que hubo que repetir
times-causes-caption = Lo que se encontró cuando algo iba mal
times-cause = Causa
times-how-often = Cuántas veces
times-again-caption = Pasos empezados de nuevo y etiquetas equivocadas: en cuántos trabajos
times-begun-again = De nuevo
times-wrong-labels = Etiqueta equivocada
times-step-share = Este paso sirve a varias calibraciones. Las cifras de arriba son la parte que toca a { $name }; la lista tiene su tiempo entero.
times-how-trend = Tendencia
times-how-trend-is = Medianas de grupos de trabajos, uno tras otro, cada uno con el mismo número de trabajos y nunca con menos de 5.
times-how-rules = Lo que destaca
times-how-rules-is = Las pruebas del gráfico de individuos del manual de Western Electric: fuera de los límites; dos de tres más allá de dos tercios; cuatro de cinco más allá de un tercio; ocho seguidos al mismo lado de la media.
times-how-effect = ¿Ha cambiado algo?
times-how-effect-is = El desplazamiento de Hodges–Lehmann: la mediana de todas las diferencias entre un trabajo de un grupo y uno del otro, con el intervalo del 95 % de la prueba de suma de rangos. Donde el intervalo contiene el cero, no se aprecia diferencia. Una diferencia apreciada no dice nada de su causa.
times-parquet-jobs = Trabajos en Parquet
times-parquet-steps = Pasos en Parquet
times-column-failures = Cuántas ejecuciones fallaron en él
times-column-wrong-scans = Cuántos escaneos trajeron una etiqueta equivocada
times-column-causes = Lo que se encontró, como se dijo entonces
times-column-job = La identidad del trabajo, la misma en ambos archivos
times-column-repair-order = La orden de reparación
times-column-finished-at = Cuándo se terminó el trabajo, UTC
times-column-calibration = La calibración, por el nombre de su procedimiento
times-column-revision = La revisión del procedimiento que se siguió
times-column-vehicle = El nombre del vehículo en la biblioteca
times-column-bay = El código del puesto
times-column-placing = Cómo se colocó el objetivo, donde el procedimiento lo pregunta
times-column-own-s = Sus propios pasos, segundos
times-column-shared-s = Su parte de la preparación común, segundos
times-column-waited-s = Detenido por un refrendo, segundos; no está en los tiempos anteriores
times-column-pause-parts-s = Pausa por recambios, segundos, todo el trabajo
times-column-pause-customer-s = Pausa por el cliente, segundos, todo el trabajo
times-column-pause-other-job-s = Pausa por otro trabajo, segundos, todo el trabajo
times-column-pause-break-s = Pausa por descanso, segundos, todo el trabajo
times-column-pause-equipment-s = Pausa por equipo, segundos, todo el trabajo
times-column-pause-finishing-s = Del último paso al fin del trabajo, segundos
times-column-outcome = done, failed, not-run o left-undone
times-column-first-time = yes o no; vacío si el equipo de diagnosis no dio veredicto
times-column-estimated = yes si falló un reloj por el camino
times-column-section = El procedimiento al que pertenece el paso
times-column-step = El paso
times-column-serves = Las calibraciones entre las que se reparte su tiempo
times-column-worked-s = En el paso, segundos, con todos los intentos
times-column-attempts = Cuántas veces se empezó
times-ways = Las páginas de tiempos
times-overview = Resumen
times-now = Ahora
times-now-title = En curso
times-now-count = { $n ->
    [one] Un trabajo en curso
   *[other] { $n } trabajos en curso
}, { $done } terminados hoy. A las { $time }.
times-now-none = No hay ningún trabajo en curso. Cuando se empiece uno, aquí se ve hasta dónde ha llegado.
times-now-left = { $minutes } min de trabajo por hacer, { $low }–{ $high }
times-now-finish = Fin previsto { $at }, entre { $early } y { $late }: { $left }.
times-now-paused = En pausa desde { $since }: { $reason }. { $left } cuando siga.
times-now-quiet = Sin noticias desde { $since }. { $left }.
times-now-held = A la espera de un refrendo desde { $since }.
times-now-is-slow = ◐ Mucho más lento de lo previsto:
times-now-slow = { $spent } min hasta ahora, para lo que suele tardar { $usual } y en 19 de 20 trabajos como máximo { $most }.
times-now-step-slow = en este paso desde hace { $spent } min; suele tardar { $usual }.
times-now-guessed = { $n ->
    [one] Un paso
   *[other] { $n } pasos
} con la cifra del propio procedimiento: muy pocos trabajos de aquí los han hecho.
times-now-how = El fin se lee de lo que tardaron los últimos 60 trabajos de este taller en los mismos pasos: en 8 de 10 cae entre las dos horas. Las pausas y la espera de un refrendo se añaden. La página se actualiza sola cada 20 segundos.
times-whatif = Qué pasaría si
times-whatif-title = ¿Qué pasaría si?
times-whatif-lead = Un día de este taller con otras cifras, simulado con lo que de verdad tardaron sus últimos { $n } trabajos terminados.
times-whatif-plan = El día
times-whatif-do = Simular este día
times-whatif-field-bays = Puestos
times-whatif-field-technicians = Personas que trabajan en vehículos
times-whatif-field-stands = Soportes de objetivos
times-whatif-field-arrivals = Vehículos al día
times-whatif-field-hours = Horas abierto
times-whatif-from-to = de { $low } a { $high }
times-whatif-way = Cómo llegan
times-whatif-way-random = según llegan, al azar
times-whatif-way-booked = con cita, a distancias iguales
times-whatif-mix = Más o menos de una calibración
times-whatif-mix-help = Con qué frecuencia se pide, respecto a hoy: 2 es el doble, 0 nunca, como máximo { $most }.
times-whatif-outcome = Qué traen días así
times-whatif-finished = En un día medio se terminan { $finished } de los { $came } vehículos que llegan.
times-whatif-sure = Con 95 % de seguridad: { $low }–{ $high }. En 8 de 10 días, de { $day_low } a { $day_high }.
times-whatif-bottleneck-bays = Los puestos son el cuello de botella.
times-whatif-bottleneck-technicians = Las personas son el cuello de botella.
times-whatif-bottleneck-stands = Los soportes son el cuello de botella.
times-whatif-bottleneck-bay-and-person = Los puestos y las personas juntos son el cuello de botella.
times-whatif-bay-and-person = Un puesto y una persona
times-whatif-one-more = Con uno más: { $gain } trabajos al día.
times-whatif-no-bottleneck = No hay cuello de botella: un puesto, una persona o un soporte más no traen con seguridad más trabajos terminados.
times-whatif-gain = { $by } (de { $low } a { $high })
times-whatif-waits = La mitad de los vehículos esperan como máximo { $median } hasta que se empieza con ellos; 4 de 5, { $p80 }.
times-whatif-not-that-day = más que el día
times-whatif-a-day = Vehículos al día
times-whatif-mean = Media
times-whatif-95 = 95 % seguro
times-whatif-8-of-10 = 8 de 10 días
times-whatif-span-of = { $name }: media { $mean }, en 8 de 10 días { $days }
times-whatif-came = Llegaron
times-whatif-done = Terminados
times-whatif-in-bay = En un puesto al cerrar
times-whatif-not-begun = Sin empezar
times-whatif-busy = En uso, y trabajos terminados al día con uno más
times-whatif-in-use = En uso
times-whatif-with-one-more = Con uno más
times-whatif-bays = Puestos
times-whatif-technicians = Personas
times-whatif-stands = Soportes
times-whatif-stand-wait = Un vehículo espera un soporte { $minutes } min de media.
times-whatif-days = Simulado en { $n } días.
times-whatif-how = Cómo se simula el día
times-whatif-how-drawn = Cada vehículo es uno de los trabajos terminados, tomado con su preparación, sus calibraciones, sus esperas de refrendo y sus pausas; se dejan fuera los trabajos con un tiempo estimado. El ritmo y los vehículos son los del taller hasta ahora.
times-whatif-how-played = Un vehículo ocupa un puesto hasta el final, y a una persona; durante una pausa esa persona trabaja en otro, y sigue con lo empezado antes de empezar nada nuevo. Una calibración cuyos objetivos cuelgan de un soporte espera uno libre. Cada día empieza con el taller vacío; no se simulan entradas, salidas ni días libres.
times-whatif-how-sure = El intervalo es la t de Student sobre los días simulados. Un puesto, una persona o un soporte más se prueba en los mismos días, para que solo eso haga la diferencia. Habla de la simulación; se supone que el taller será como ha sido.
times-week = Semana
times-week-title = Semana { $n }: { $begins } a { $ends }
times-week-earlier = ← la semana anterior
times-week-later = la semana siguiente →
times-week-jobs = Trabajos terminados
times-week-last = { $n } la semana anterior
times-week-held = Esperas de refrendo
times-week-none = En esta semana no se terminó ningún trabajo.
times-week-caption = Minutos que tardó una calibración, y en las { $weeks } semanas anteriores
times-week-now = La mitad en
times-week-before = Antes
times-week-difference = Diferencia
times-week-moved = { $by } (de { $low } a { $high })
times-week-no-difference = sin diferencia demostrada
times-week-too-few = muy pocos para decirlo
times-week-odd = Más largo de lo normal: ¿qué pasó?
times-week-odd-job = { $name }: { $minutes } min, normalmente como máximo { $most }
times-week-odd-none = Ningún trabajo.
times-week-causes = Por qué falló una ejecución
times-week-cause = { $cause } ({ $n })
times-week-causes-none = No falló ninguna por una causa que se nombrara.
times-week-pauses = Pausas
times-week-pause = { $reason }: { $minutes } min en { $n ->
    [one] un trabajo
   *[other] { $n } trabajos
}
times-week-pauses-none = Ninguna.
times-week-more = Y { $n } más.
times-week-how = La mitad en: la mediana, desde 5 trabajos, del tiempo total con su parte de la preparación; las cifras pequeñas dicen dónde está, con 95 % de seguridad. Diferencia: el desplazamiento de Hodges-Lehmann frente a las { $weeks } semanas anteriores, en minutos. Fuera de los tiempos, y contados: { $n }.
times-kit = Kit y puestos
times-kit-days = Otros días
times-kit-last-days = Otra vez las últimas cuatro semanas
times-kit-labels = Etiquetas mal escaneadas
times-kit-scans = { $wrong } de { $n } lecturas fueron erróneas.
times-kit-labels-caption = Por la etiqueta que se escaneó, la más errónea primero
times-kit-label = Etiqueta
times-kit-wrong = Erróneas
times-kit-of-scans = De lecturas
times-kit-mostly = Sobre todo
times-kit-stranger = ninguna etiqueta nuestra
times-kit-targets = Manejo de objetivos
times-kit-targets-caption = Minutos desde la lectura de un objetivo hasta la de su lugar
times-kit-targets-none = En estos días no se colgó ningún objetivo.
times-kit-target = Objetivo
times-kit-waits = Esperas de un objetivo, un soporte o una herramienta
times-kit-waiting = { $n ->
    [0] Ningún trabajo se pausó por el equipo.
    [one] Un trabajo se pausó por el equipo.
   *[other] { $n } trabajos se pausaron por el equipo.
}
times-kit-waits-caption = Minutos en pausa por el equipo, por el paso en el que faltaba
times-kit-bays = Puestos
times-kit-bays-caption = Cada puesto frente a los demás, en las mismas calibraciones
times-kit-against = Frente a los demás
times-kit-longer = { $by } % (de { $low } a { $high })
times-kit-waited = Esperaron equipo
times-kit-how-labels = Cuenta cada lectura de un trabajo terminado, por la etiqueta que se escaneó. Una etiqueta errónea a menudo cuelga donde se confunde con otra, o se lee mal; el registro de un trabajo tiene cada una de sus lecturas.
times-kit-how-targets = Desde la lectura de un objetivo hasta la del lugar en que se colgó, en un mismo reloj; lo que se guardó no cuenta. Las esperas son pausas con el motivo «equipo».
times-kit-how-bays = Cada tiempo se compara con la mediana de su calibración, y los cocientes de los puestos con el desplazamiento de Hodges-Lehmann de sus logaritmos: así no se llama lento a un puesto que recibe las calibraciones largas. Los puestos se cuentan sobre todos los días si no se piden otros.
times-learning = Aprendizaje
times-learning-title = Hacia el trabajo autónomo
times-learning-lead = El camino propio de cada aprendiz, por orden de nombre. Solo lo ven esa persona y los supervisores, y no se compara a nadie.
times-learning-nobody = En este taller no hay ningún aprendiz.
times-learning-jobs = { $n ->
    [one] un trabajo
   *[other] { $n } trabajos
}
times-learner-lead = Los trabajos que esta persona llevó hasta el final, por calibración. Quién puede hacer una sin supervisión lo decide un supervisor.
times-learner-countersigned = Con refrendo
times-learner-recent = Bien a la primera, últimos { $n }
times-learner-none = Aún no ha llevado ningún trabajo hasta el final.
times-learner-few = { $n ->
    [0] Aún no cuenta ningún trabajo: una curva de aprendizaje necesita 8.
    [one] Cuenta un trabajo: una curva de aprendizaje necesita 8.
   *[other] Cuentan { $n } trabajos: una curva de aprendizaje necesita 8.
}
times-learner-no-curve = Los { $n } trabajos no muestran curva de aprendizaje: varían más de lo que bajan.
times-learner-curve = El doble de trabajos tarda { $less } % menos (de { $low } a { $high } %); ahora unos { $now } min, de { $n } trabajos.
times-learner-of = { $name }: minutos de sus propios pasos, { $n ->
    [one] un trabajo
   *[other] { $n } trabajos
} en orden; la tabla de detrás tiene las cifras.
times-learner-nth = Trabajo
times-learner-how-countersigned = Con refrendo: trabajos en los que un supervisor firmó en un punto de espera de esta calibración.
times-learner-how-curve = La curva es T = T₁ · nᵇ, ajustada por mínimos cuadrados a los logaritmos de los minutos de sus propios pasos; su intervalo es seguro al 95 %. Los trabajos con un tiempo estimado y los no llevados hasta el final se dejan fuera, y aun así cuentan como hechos.
times-learner-how-alone = Estas cifras no deciden nada. Los vehículos y las reparaciones son distintos, y quien se toma el tiempo de hacerlo bien hace bien.

## demo
demo-photo = Demo: aquí no se tomó ninguna foto

## today
today-apart = algo que mirar
today-title = Hoy
today-check-due = Toca la revisión del equipo del día
today-check-running = La revisión del equipo del día está en marcha
today-check-valid = Equipo revisado hoy a las { $time }
today-check-record = Ver la revisión
today-check-overtaken = Superada por la revisión de otro día.
today-check-go-due = Empezar la revisión
today-check-go-running = Seguir con ella
today-new = Trabajo nuevo
today-open = Trabajos abiertos
today-none = No hay ningún trabajo abierto. Escanee un VIN para empezar uno.
today-planning = En planificación
today-finished = Terminados hace poco
today-waits = { $count ->
    [one] Un paso le espera
   *[other] { $count } pasos le esperan
}
waiting-title = Le espera
waiting-lead = Pasos que esperan a un supervisor. Abra uno, mírelo y acéptelo o devuélvalo.
waiting-none = Nada espera.
today-no-order = aún sin orden de reparación
today-vehicle-unknown = vehículo aún desconocido
today-away = aún no está en este teléfono: ábralo mientras haya red del taller
today-settled = { $settled } de { $of } pasos
today-finished-job = terminado { $day }
today-abandoned = abandonado { $day }

## intake
new-title = Trabajo nuevo
new-lead = Escanee el VIN en el parabrisas o en el pilar de la puerta. Basta el Intro del lector; no hay que tocar nada.
new-vin = VIN
new-vin-help = 17 caracteres, sin I, O ni Q.
new-read = Leer
new-photo = Foto del VIN
new-confirm = Compárelo con el vehículo
new-confirm-mismatch = El dígito de control no encaja. En un vehículo hecho para Norteamérica eso significa que un carácter se leyó mal.
new-confirm-unsure = Se leyó de una sola manera. Compare cada grupo.
new-confirm-button = Igual en el vehículo
new-again = Leerlo otra vez
cleaned-line-end = Se quitó el fin de línea del lector.
cleaned-blanks = Se quitaron espacios.
cleaned-lower-case = Las minúsculas pasaron a mayúsculas.
cleaned-code-39-wrapper = Se quitaron los asteriscos que rodean el código de barras.
cleaned-leading-i = Se quitó una I inicial, que llevan algunos códigos de barras.
intake-title = Vehículo y motivos
intake-other = Hay otro trabajo abierto con este VIN:
intake-vehicle = Modelo
intake-choose = Elija el modelo
intake-matches = el VIN encaja
intake-no-match = Ningún modelo de la biblioteca encaja con este VIN. Elija uno solo si está seguro de que sus datos valen para este vehículo.
intake-take = Tomarlo
intake-order = Orden de reparación
intake-odometer = Cuentakilómetros, km
intake-bay = Puesto
intake-reasons = ¿Por qué está aquí?
intake-lamps = Testigos encendidos
intake-codes = Códigos de avería guardados
intake-plan = Planificar las calibraciones
reason-windscreen-replaced = Parabrisas sustituido
reason-camera-replaced = Cámara desmontada o sustituida
reason-radar-replaced = Radar desmontado o sustituido
reason-lidar-replaced = Lidar desmontado o sustituido
reason-parking-sensor-replaced = Sensor de aparcamiento desmontado o sustituido
reason-headlamp-replaced = Faro desmontado o sustituido
reason-steering-repaired = Caja, columna o sensor de dirección reparados
reason-height-sensor-replaced = Sensor de altura desmontado o sustituido
reason-mirror-replaced = Retrovisor desmontado o sustituido
reason-bumper-refitted = Parachoques desmontado o montado
reason-wheel-alignment-adjusted = Alineación de ruedas ajustada
reason-ride-height-changed = Suspensión o altura cambiada
reason-collision-repair = Reparación tras un choque
reason-airbag-deployed = Airbag disparado
reason-control-unit-replaced = Unidad de mando sustituida o codificada
reason-battery-disconnected = Batería desconectada
reason-trouble-code-stored = Código de avería guardado
reason-wheel-size-changed = Medida de rueda o neumático cambiada

## drop
drop-title = Descartar este trabajo
drop-lead = Aún no se ha hecho nada en él. Sale de la lista de trabajos; el motivo se guarda.
drop-button = Descartarlo
drop-not = Conservarlo

## plan
plan-title = Plan
plan-change = cambiar
plan-calibrations = Calibraciones pendientes
plan-none = Con estos motivos no toca nada. Añada una calibración o corrija los motivos.
plan-because = Pedida por: { $reasons }
plan-added = Añadida: { $why }
plan-source = Datos: { $source }, revisión { $revision }. Las instrucciones vigentes del fabricante del vehículo van primero.
plan-strike = No hacer esta
plan-strike-why = ¿Por qué no?
plan-strike-button = Tacharla
plan-struck = Tachada: { $why }
plan-restore = Recuperarla
plan-add = Añadir una calibración
plan-add-which = Cuál
plan-add-why = Por qué
plan-add-button = Añadirla
plan-kit = Kit
plan-condition = estado
plan-kit-missing = no hay en el taller
plan-kit-good = bueno
plan-kit-damaged = dañado
plan-kit-overdue = inspección vencida
area-fits = Cabe en { $bay }: lo más cercano es { $by ->
    [edge] el borde del puesto
   *[other] { $by }
 }, a { $clear }, { $where }.
area-fits-middle = { $bay } es bastante grande: sobran { $clear } con todo en el centro. Su plano no está en la página del kit, así que mire dónde queda el vehículo.
area-not = No cabe en { $bay }: { $by ->
    [edge] pasa del borde del puesto
   *[other] se mete en { $by }
 } { $short }, { $where }.
area-shift = Cabe con el vehículo { $moves }.
area-shift-x = { $length } más { $to ->
    [forward] adelante
   *[back] atrás
 }
area-shift-y = { $length } más a la { $to ->
    [left] izquierda
   *[right] derecha
 }
area-no-shift = Ningún sitio de este puesto es bastante grande: despéjelo o tome otro puesto.
area-where = { $along } { $unit } { $x ->
    [ahead] delante de
   *[behind] detrás de
 } las ruedas delanteras y { $aside } { $unit } a la { $y ->
    [left] izquierda
   *[right] derecha
 }
area-unknown = No se calculó si cabe en el puesto, porque el trabajo se planificó en el teléfono: mire, y mida donde sea justo.
area-no-plan = No se sabe si cabe: no se eligió puesto, o su tamaño no está en la página del kit.
plan-area = Suelo libre
plan-area-text = { $length } { $unit } de largo y { $width } { $unit } de ancho: { $ahead } { $unit } delante del vehículo, { $behind } { $unit } detrás, { $side } { $unit } a cada lado.
plan-order = Orden y tiempo
plan-part = parte
plan-median = la mitad de los trabajos en
plan-p80 = cuatro de cinco en
plan-from-jobs = de { $count } trabajos propios
plan-from-procedure = el dato del procedimiento
plan-total = En total
plan-freeze = Al empezar, los pasos quedan fijados: un cambio posterior de un procedimiento no toca este trabajo.
plan-start = Empezar el trabajo
minutes = { $count } min

## record
record-title = Registro
record-title-day = Revisión del equipo
record-open = Este trabajo no está terminado.
record-vehicle = Vehículo
record-spec = Especificación
record-reasons = Motivos
record-before = Testigos y códigos a la llegada
record-nothing-given = no se indicó ninguno
record-check = Revisión del equipo válida ese día
record-no-check = ese día no se terminó ninguna antes de este trabajo
record-began = Empezado
record-ended = Terminado
record-people = Personas
record-calibrations = Calibraciones
record-calibration = calibración
record-outcome = resultado
record-figures = datos usados
record-runs = { $count ->
    [0] nunca ejecutada
    [one] un intento
   *[other] { $count } intentos
}, { $failures ->
    [0] ninguno fallido
    [one] uno fallido
   *[other] { $failures } fallidos
}
record-revisions = datos revisión { $spec }, procedimiento revisión { $procedure }
record-reference-centreline = orientada según la línea central
record-reference-thrust-line = orientada según la línea de empuje
record-tool-governs = El resultado es el del propio equipo de diagnosis. Baybook guía, calcula y registra; no declara calibrado ningún sensor.
record-not-done = Sin hacer
record-apart = Para mirar
record-caution = Las funciones de asistencia pueden actuar de forma inesperada hasta que esto se haga. Avise al propietario, por escrito.
record-scans = Objetivos y escaneos
record-at = a las
record-label = etiqueta leída
record-verdict = veredicto
record-placed = colocado
record-readings = Lecturas
record-rule = Regla de decisión: dentro solo si la lectura queda dentro de los límites por su incertidumbre expandida U (k = 2) o más; fuera solo si los sobrepasa en otro tanto; si no, demasiado justo para decidir. Según { $edition }.
record-what = lectura
record-value = valor
record-u = U (k = 2)
record-allowed = límites
record-by-rule = banda de guarda w = U, k = { $coverage }; { $edition }
record-from = { $source }, revisión { $revision }
record-inspected = su inspección vale hasta { $day }
record-misfit = desajuste { $misfit }
record-overruled = Dado por válido por { $by }: { $why }
record-photos = Fotos
record-countersigns = Refrendado
record-on-the-way = Por el camino
record-trouble = Hubo un problema
record-undone = Deshecho
record-was-undone = deshecho después
record-times = Tiempos
record-time-sum = En los pasos { $worked } · esperando un refrendo { $waited }
record-estimated = algunos tiempos se estimaron con el reloj de pared
pause-finishing = Entre el último paso y el final
record-sheet = Hoja (SHA-256):
record-limits = Las normas locales, las instrucciones del fabricante del vehículo y la práctica autorizada van primero. Las funciones que piden un recorrido por carretera solo se prueban con ese recorrido.
record-journal = El diario como archivo
record-amendments = Enmendado después del final
record-amended = Porque: { $why }
amend-title = Enmendar este registro
amend-lead = Lo registrado queda como está. Su corrección se añade con su nombre, entra en el libro y acompaña al registro desde ahora.
amend-text = Lo que hay que saber
amend-reason = Por qué se enmienda
amend-button = Añadir la enmienda
record-pdf = Registro en PDF
record-file = Registro como archivo comprobable
record-check-code = Código que lleva a la comprobación de este registro
record-check-what = Asiento { $number } del libro de este taller. En la red del taller el código lleva a su comprobación; fuera de ella, el PDF o el archivo se comprueba con la clave pública del taller.

## check
check-title = Comprobación de un registro
check-known = Registrado aquí.
check-known-what = El libro de este taller tiene el asiento impreso, y desde entonces no se ha añadido nada al trabajo.
check-later = Registrado aquí, y después se añadió algo.
check-later-joined = El { $at } un teléfono trajo más entradas de este trabajo. Pida el registro más reciente.
check-later-amended = El { $at } se enmendó el registro. Pida el registro más reciente.
check-later-finished = Su último asiento es del { $at }. Pida el registro más reciente.
check-later-abandoned = Su último asiento es del { $at }. Pida el registro más reciente.
check-unknown = No está en el libro de este taller.
check-unknown-what = Lo impreso no es lo que se registró aquí, o lo hizo otro taller. No se fíe de ello.
check-what = Qué se asentó
check-why-finished = el trabajo se terminó
check-why-abandoned = el trabajo se abandonó
check-why-joined = un teléfono trajo más entradas
check-why-amended = el registro se enmendó
check-at = El
check-entry = Asiento
check-entry-of = { $number } de { $size }
check-events = Entradas en el diario del trabajo
check-journal = Diario (SHA-256):
check-offline = Fuera de la red del taller: baybook verify comprueba el PDF o el archivo con la clave del taller.
check-key = La clave pública del taller

## making
making-title = Imprimiendo el registro
making-step = Paso { $step } de { $steps }
making-what = El servidor del taller compone las páginas y las firma. Esta página vuelve a preguntar sola.
making-back = Volver al registro
making-again = Intentarlo otra vez

## drawing
# Los nombres van en un dibujo de 330 px de ancho: los cortos lo mantienen claro.

drawing-seen-from-above = Visto desde arriba, el vehículo mira hacia arriba; longitudes en { $unit ->
    [in] pulgadas
   *[mm] mm
 }.
drawing-seen-from-left = Visto desde la izquierda del vehículo; longitudes en { $unit ->
    [in] pulgadas
   *[mm] mm
 }.
drawing-front-axle = eje delantero
drawing-left-hub = buje izq.
drawing-right-hub = buje der.
drawing-left-mark = marca izq.
drawing-right-mark = marca der.
drawing-ahead = { $length } por delante del eje delantero
drawing-behind = { $length } por detrás del eje delantero
drawing-behind-rear-axle = { $length } por detrás del eje trasero
drawing-level-with-front-axle = a la altura del eje delantero
drawing-left = { $length } a la izquierda de la línea central
drawing-right = { $length } a la derecha de la línea central
drawing-on-centreline = sobre la línea central
drawing-turned-left = girado { $deg }° a la izquierda
drawing-turned-right = girado { $deg }° a la derecha
drawing-centre-high = altura { $figure }
drawing-name = { $what }
drawing-alt-placed = { $target } en { $spot }: { $place }.
drawing-alt-stand = El soporte está { $place }.
drawing-alt-tapes = Cuatro cintas: de buje izquierdo a marca izquierda, de buje derecho a marca derecha, y las dos diagonales, de buje izquierdo a marca derecha y de buje derecho a marca izquierda.
drawing-mark-front-left = marca del. izq.
drawing-mark-front-right = marca del. der.
drawing-mark-rear-left = marca tras. izq.
drawing-mark-rear-right = marca tras. der.
drawing-centreline = línea central
drawing-thrust-line = línea de empuje, giro aumentado
drawing-along-plus = largo +
drawing-aside-plus = lado +
drawing-alt-axis = Cuatro marcas en el suelo, una bajo cada buje. La línea central pasa por el punto medio entre las dos marcas delanteras y el punto medio entre las dos traseras. La línea de empuje sale del punto medio trasero; su giro se dibuja mayor de lo que es. A lo largo cuenta más hacia delante, al lado cuenta más hacia la izquierda.
drawing-alt-line = La línea central pasa por el centro del eje delantero y el centro del eje trasero; sigue por el suelo delante y detrás del vehículo.
drawing-target-place = aquí va un objetivo
drawing-alt-point = { $point }: { $place }.
drawing-alt-target-place = Un objetivo va en { $spot }: { $place }.
drawing-alt-area = Suelo libre: { $ahead } delante del vehículo, { $behind } detrás y { $side } a cada lado; { $long } de largo y { $wide } de ancho en total.
drawing-bay-edge = Franja gris: el borde de { $bay }, con el vehículo en su lugar habitual.
drawing-obstacle = { $letter }: { $what }, { $place }.
drawing-there = En línea continua, ya colocado: { $spots }.
drawing-next = Ahora, en naranja: { $spot }.
drawing-chocks = calzo delante y detrás
drawing-wheel-front-left = rueda del. izq.
drawing-wheel-front-right = rueda del. der.
drawing-wheel-rear-left = rueda tras. izq.
drawing-wheel-rear-right = rueda tras. der.
drawing-alt-chocks = Calzos en la { $wheel }, delante y detrás.
drawing-larger = dibujado { $times } veces mayor
drawing-not-to-scale = no a escala
drawing-in-its-place = en su sitio
drawing-alt-move = Visto desde arriba, el vehículo abajo: el soporte donde está y, a trazos, adonde va; { $note }.
drawing-alt-move-behind = Visto desde arriba, el vehículo arriba: el soporte detrás de él, donde está y, a trazos, adonde va; { $note }.
drawing-alt-turn-nearer = { $number }. Gírelo: extremo izquierdo { $length } más cerca, extremo derecho { $length } más lejos del vehículo.
drawing-alt-turn-away = { $number }. Gírelo: extremo izquierdo { $length } más lejos del vehículo, extremo derecho { $length } más cerca.
drawing-alt-slide-left = { $number }. Deslícelo { $length } a la izquierda.
drawing-alt-slide-right = { $number }. Deslícelo { $length } a la derecha.
drawing-alt-move-nearer = { $number }. Muévalo { $length } hacia el vehículo.
drawing-alt-move-farther = { $number }. Muévalo { $length } alejándolo del vehículo.

## phone
phone-away = Fuera de alcance
phone-no-shop = Esta página es del taller, y la red del taller está fuera de alcance. Lo que está en este teléfono sigue sin ella.
phone-no-shop-kept = Este formulario es para el taller, y la red del taller está fuera de alcance. No se guardó nada: envíelo otra vez cuando haya red.
job-kept-here = listo sin red · { $count } por enviar
job-provisional = { $count ->
    [one] Un refrendo de aquí es provisional
   *[other] { $count } refrendos de aquí son provisionales
} hasta que el taller lo haya comprobado.
job-lost = se perdió lo guardado en este teléfono
job-sent = listo sin red · enviado
job-aside = listo sin red · { $count } apartados en el taller
job-agreed = listo sin red · ambos lados coinciden
pair-title = Emparejar este teléfono
pair-why = Un teléfono emparejado sigue trabajando sin la red y lleva su trabajo al taller después.
pair-insecure = Esta página vino por http simple: todo funciona mientras haya red del taller, pero no sin ella. Abra la dirección https del taller para emparejar este teléfono.
pair-code = Código
pair-code-is = Vale para un teléfono y diez minutos:
pair-name = Cómo se llama este teléfono
pair-button = Emparejar este teléfono
pair-make = Hacer un código
pair-ask = Un supervisor o un responsable escanea su credencial y hace el código en esta página.

## serve
serve-secure = Para teléfonos que confían en este taller: { $address } · cómo se llega a ello: { $guide }
serve-fingerprint = SHA-256 de la autoridad del taller, para compararla en cada teléfono: { $fingerprint }
serve-first = Este taller aún no tiene a nadie que pueda firmar. Añada a su responsable en { $address } con el código inicial { $code }
serve-strands = Cuidado: hay teléfonos emparejados en { $old }, y este arranque usa { $address }. Lo que no han enviado se queda allí: { $phones }. Arranque con los ADDRESS y HTTPS_PORT anteriores, deje que lo envíen todo y emparéjelos de nuevo.
serve-elsewhere = Cuidado: la dirección del taller { $address } no es de esta máquina ({ $own }), así que los teléfonos no la encuentran. Devuelva esa dirección a la máquina o fije ADDRESS.

## kept
kept-title = En este teléfono
kept-says-unsent = Esto por ahora solo está en este teléfono. Va al taller por sí solo en cuanto se alcance el taller.
kept-says-sent = Todo está en el taller.
kept-entries = { $count ->
    [one] 1 entrada
   *[other] { $count } entradas
}
kept-photo = foto, { $size }
kept-photo-begun = foto, { $sent } de { $size } enviados
kept-asides = Apartado en el taller
kept-asides-why = El taller tiene estas entradas, pero no en el diario del trabajo. Un responsable decide sobre ellas en el taller.
kept-tried = Último intento a las { $time }.
kept-untried = Aún no se ha intentado nada.
kept-ended = La última vez que todo fue bien fue a las { $time }.
kept-sending = Enviando …
kept-failed = No llegó.
kept-why-offline = Este teléfono no tiene red. No se pierde nada; se intentará de nuevo por sí solo.
kept-why-unreachable = No se alcanza el servidor del taller: este teléfono está fuera de la red del taller, el servidor está apagado o ya no se confía en su certificado. Abra la dirección del taller en el navegador: él dice si es el certificado.
kept-why-timeout = El servidor del taller no respondió a tiempo. Se intentará de nuevo por sí solo.
kept-why-refused = El servidor del taller lo rechazó: { $message }
kept-why-revoked = Un responsable ha rechazado este teléfono. Lo que aún traiga se aparta en el taller para que un responsable decida. Para seguir con él, emparéjelo de nuevo.
kept-why-unknown = El servidor del taller no conoce este teléfono: { $message }. Emparéjelo de nuevo; su diario se conserva.
kept-why-storage = { $message }
kept-why-fault = Algo falló en la aplicación misma: { $message }
kept-send = Enviar ahora
kept-jobs = Trabajos en este teléfono
kept-leaves = sale de este teléfono el { $day }
kept-stays = se queda hasta que ambos lados coincidan
kept-storage = Almacenamiento
kept-persisted = El navegador ha prometido conservar esto hasta que usted lo quite.
kept-not-persisted = El navegador no ha prometido conservar esto: si al teléfono le falta espacio, puede quitarlo. Instale la aplicación en la pantalla de inicio y pídalo otra vez. En una ventana privada todo desaparece al cerrarla: no haga allí ningún trabajo.
kept-persist = Pedir al navegador que lo conserve
kept-persist-refused = El navegador no quiso. Instale la aplicación en la pantalla de inicio, ábrala allí y pídalo otra vez.
kept-space = { $used } usados, { $free } libres.
kept-space-unknown = Este navegador no dice cuánto espacio queda.
kept-days-label = Un trabajo terminado se queda en este teléfono
kept-days = { $count ->
    [one] un día más
   *[other] { $count } días más
}
kept-days-none = no más tiempo
kept-days-help = Contados desde que el taller lo tiene todo y ambos lados coinciden. Antes no se quita nunca nada.
kept-days-button = Dejarlo así
kept-file = Último recurso
kept-file-why = Si este teléfono ya no puede enviar: guarde su diario como archivo, con las fotos que no se enviaron, y dé el archivo a un responsable, que lo incorpora en el taller.
kept-file-button = Guardar el diario como archivo
kept-app = Aplicación { $version } · { $phone }
kept-new-version = Hay una versión nueva; entra cuando no haya ningún trabajo entre manos ni ninguna página de trabajo abierta.
kept-lost = Este teléfono estaba emparejado con el taller, pero lo que guardaba ha desaparecido: el navegador o el sistema lo ha quitado o dañado. Lo enviado está en el taller.
kept-lost-unsent = Lo no enviado se ha perdido, salvo que antes se guardara como archivo. Diga a un supervisor qué pasos se hicieron al final y empareje este teléfono de nuevo.
kept-lost-copy = Lo no enviado está en una segunda copia en este teléfono; como mucho faltan los últimos segundos. Guárdela como archivo y dé el archivo a un responsable, que lo incorpora en el taller. Después empareje este teléfono de nuevo.
kept-former = Salvado de un almacenamiento que se perdió
kept-former-why = Este teléfono perdió una vez lo que guardaba. Aquí está la segunda copia de lo que hasta entonces no había enviado. Guárdela como archivo y dé el archivo a un responsable, que lo incorpora en el taller.
kept-former-brought = El taller ya lo ha incorporado
kept-former-remove = Quitar esta copia
kept-unpaired = Este navegador no está emparejado con el taller: aquí no se guarda nada, y todo está al momento en el taller.
storage-title = El almacenamiento de este teléfono
storage-how = Lo guardado antes no se toca. Si no se puede volver a leer, guarde lo que aún se lea y dé el archivo a un responsable, que lo incorpora en el taller.
bare-title = No se pudo hacer esta página
bare-why = La aplicación de este teléfono no está entera o falló. Lo guardado en este teléfono no se toca.
bare-how = Vaya adonde llegue la red del taller y cargue la página otra vez: lo que falta se trae entonces. Si sigue igual, cierre la aplicación y ábrala de nuevo.
bare-again = Cargarla otra vez

## guide
plain-http = http simple: todo funciona mientras haya red del taller. Sin imagen de cámara, y nada sin la red.
plain-http-link = Preparar este teléfono
guide-title = Preparar este teléfono
guide-lead = { $count } pasos, una vez: el teléfono aprende a confiar en el servidor de este taller, recibe Baybook en su pantalla de inicio y se empareja. Después sigue trabajando donde no hay red.
guide-notice = AVISO
guide-notice-text = Una autoridad en la que confía un teléfono puede avalar ante él cualquier sitio. Instale solo la de su propio taller, compare su huella y quítela cuando deje el taller o entregue el teléfono. Su clave nunca sale del servidor del taller. En un teléfono propio puede también dejar todo esto y trabajar en línea.
guide-android = Un teléfono Android
guide-ios = Un iPhone o iPad
guide-qr = Escanee esto con la cámara del teléfono
guide-skip = Dejarlo: trabajar solo en línea
guide-plain-only = Este taller sirve solo http simple (HTTPS_PORT=0): todo funciona mientras haya red del taller, y no hay nada que preparar.
guide-count = Paso { $n } de { $of }
guide-next = Lo tengo. Siguiente
guide-root-name = Baybook shop authority
guide-root-what = Permite que este teléfono confíe en el servidor de su taller. Quítela cuando deje el taller.
guide-do-fetch-file = Traiga la autoridad del taller
guide-how-fetch-file = El teléfono guarda un archivo pequeño, baybook-shop.crt. Si pregunta si debe conservarlo: sí.
guide-button-fetch-file = Traer el archivo
guide-do-install-file = Instálela como certificado de CA
guide-how-install-file = Abra los ajustes del teléfono, busque «certificado de CA», diga que lo instala de todos modos y elija baybook-shop.crt entre las descargas. El teléfono puede pedir su propio PIN.
guide-button-install-file = Instalado
guide-do-compare-file = Compare la huella
guide-how-compare-file = En los ajustes busque «credenciales de confianza» y abra las del usuario. Compare el SHA-256 de «Baybook shop authority» con el que está en el ordenador del taller: página Teléfonos, o la terminal del servidor. Si un solo signo difiere, quítela y avise a un responsable.
guide-button-compare-file = Todos los signos son iguales
guide-do-fetch-profile = Traiga la autoridad del taller
guide-how-fetch-profile = Use el navegador que vino con el teléfono; otros no pueden traerla. Permita que se cargue el perfil.
guide-button-fetch-profile = Traer el perfil
guide-do-install-profile = Instale el perfil
guide-how-install-profile = Abra los ajustes del teléfono. Arriba pone que se cargó un perfil (si no, mire en General, VPN y gestión de dispositivos). Ábralo e instálelo. El teléfono pide su propio código.
guide-button-install-profile = Instalado
guide-do-compare-profile = Compare la huella
guide-how-compare-profile = En el perfil abra los detalles del certificado «Baybook shop authority» y compare su SHA-256 con el que está en el ordenador del taller: página Teléfonos, o la terminal del servidor. Si un solo signo difiere, quite el perfil y avise a un responsable.
guide-button-compare-profile = Todos los signos son iguales
guide-do-switch-on = Active la confianza plena
guide-how-switch-on = En los ajustes abra General, Información y, abajo del todo, los ajustes de certificados de confianza. Active «Baybook shop authority». Sin este segundo interruptor el teléfono sigue rechazando el taller.
guide-button-switch-on = Activada
guide-do-open = Abra la dirección https del taller
guide-how-open = Si la página siguiente se abre sin advertencia, el teléfono confía en el taller. Si hay una advertencia, no la pase por alto: eso no ayuda. Vuelva y mire los pasos anteriores.
guide-button-open = Abrirla
guide-do-home-menu = Ponga Baybook en la pantalla de inicio
guide-how-home-menu = Abra el menú del navegador y elija instalar la aplicación, o añadir la página a la pantalla de inicio.
guide-button-home-menu = Está allí
guide-do-home-share = Ponga Baybook en la pantalla de inicio
guide-how-home-share = Toque el signo de compartir, un cuadrado con una flecha, y elija añadir la página a la pantalla de inicio.
guide-button-home-share = Está allí
guide-do-pair = Empareje el teléfono dentro de la aplicación
guide-how-pair = Desde ahora abra Baybook desde la pantalla de inicio. Allí abra Teléfonos, después «Emparejar este teléfono», y escriba el código que hace un supervisor o responsable. Vale una vez y diez minutos. Empareje dentro de la aplicación, no aquí: en algunos teléfonos la aplicación y el navegador guardan su trabajo por separado.
guide-pair-insecure = Esta página aún vino por http simple. Vuelva y abra primero la dirección https.
guide-button-pair = A los trabajos de hoy

## phones
phones-title = Teléfonos
phones-lead = Un teléfono emparejado hace sus trabajos sin la red y los lleva al taller después. Los demás trabajan en línea.
phones-strands = Hay teléfonos emparejados en otra dirección
phones-strands-text = La dirección del taller es ahora { $address }; estos se emparejaron en { $old }. Lo que aún no han enviado está allí. Arranque el servidor con los ADDRESS y HTTPS_PORT anteriores, deje que lo envíen todo y emparéjelos de nuevo.
phones-strands-one = { $name }: visto por última vez { $seen }, enviado hasta el evento { $seq }
phones-code-where = Escríbalo en el teléfono, en la aplicación instalada, en Teléfonos, «Emparejar este teléfono».
phones-fingerprint = La autoridad del taller
phones-fingerprint-why = Su SHA-256. Léalo en el servidor mismo, o en un teléfono que ya confía en el taller, y compárelo con el de cada teléfono nuevo, signo a signo.
phones-paired = Teléfonos emparejados
phones-none = Aún no hay ningún teléfono emparejado.
phones-ask = Un supervisor o un responsable ve aquí qué teléfonos están emparejados, y hace el código para uno nuevo.
phones-waiting = { $count } { $count ->
    [one] llegada espera
   *[other] llegadas esperan
} la decisión de un responsable
phones-waits = { $count } apartados
phones-never = nunca
phones-seen = visto { $at }
phones-is-paired = emparejado
phones-is-revoked = rechazado
phones-is-from-file = conocido por un archivo
phones-back = Todos los teléfonos
phones-name-here = Nombre en el taller
phones-paired-at = Emparejado
phones-seen-at = Visto por última vez
phones-clock = Su reloj
phones-clock-unknown = aún desconocido
phones-clock-right = correcto
phones-clock-behind = { $seconds } s por detrás del servidor
phones-clock-ahead = { $seconds } s por delante del servidor
phones-app = Versión de la aplicación
phones-highest = Guardado en el taller
phones-highest-is = todo hasta su evento { $seq }
phones-unsent = Por enviar
phones-unsent-is = { $count ->
    [0] nada, cuando se vio por última vez
    [one] 1 evento o foto, cuando se vio por última vez
   *[other] { $count } eventos y fotos, cuando se vio por última vez
}
phones-aside = Espera una decisión
phones-revoked-by = { $at }, { $name }: { $why }
phones-revoke = Rechazar este teléfono
phones-revoke-what = Para un teléfono que se ha perdido o deja el taller. Lo que ha enviado se queda; lo que aún traiga se aparta hasta que un responsable decida. Si se empareja de nuevo, vuelve a entrar.
phones-revoke-why = ¿Por qué?
phones-revoke-button = Rechazarlo

## arrivals
arrivals-title = Lo que trajeron los teléfonos
arrivals-lead = Lo que el diario no pudo tomar se guarda aquí, con los bytes propios del teléfono, hasta que un responsable decida. No se borra nada, se decida lo que se decida.
arrivals-none = Nada espera una decisión.
arrivals-more = { $count } más esperan; se muestran cuando estas se decidan.
arrivals-from = { $name }, { $at }
arrivals-event = { $what }, hecho { $at } por { $who }
arrivals-batch = Un lote entero de { $count } eventos de un teléfono rechazado
arrivals-text = Qué dice
arrivals-why = Su motivo
arrivals-bring-in = Incorporarlo
arrivals-leave-out = Dejarlo fuera
arrivals-only-manager = Solo decide un responsable. Escanee la credencial de un responsable en este navegador.
arrivals-did-bring-in = Incorporado.
arrivals-all = y { $count ->
    [one] la otra
   *[other] las otras { $count }
} de este teléfono que esperan por el mismo motivo
arrivals-did-all = Se decidió sobre { $count } a la vez; { $left } no pudieron entrar y siguen esperando.
arrivals-did-leave-out = Dejado fuera. Su texto queda guardado aquí.
arrivals-decided = Decidido hace poco
arrivals-was-brought-in = ● incorporado
arrivals-was-left-out = ⊗ dejado fuera
arrivals-decided-by = { $at }, { $name }: { $why }
arrivals-itself = el servidor, con los datos del trabajo
arrivals-import = Incorporar un diario guardado
arrivals-import-lead = Un teléfono que ya no puede enviar guarda su diario como archivo, en «En este teléfono». Incorporado dos veces, todo está una sola vez.
arrivals-file = El archivo del teléfono
arrivals-import-button = Incorporar el archivo
arrivals-imported = Del archivo: { $kept } guardados, { $known } ya conocidos, { $aside } apartados, { $refused } rechazados por un hueco anterior; { $photos } fotos.

## preview
preview-steps = { $count ->
    [one] Un paso.
   *[other] { $count } pasos, en todas sus variantes.
}
preview-elsewhere = { $count ->
    [one] Un hallazgo en otro archivo.
   *[other] { $count } hallazgos en otros archivos.
}
preview-old = Con los archivos como están no se puede trabajar; abajo está lo último que sí valía.
preview-short = Corto:
preview-only-with = Solo en trabajos con alguno de estos: { $procedures }.
preview-only-without = Solo en trabajos sin estos: { $procedures }.

## backups
backups-title = Copia de seguridad
backups-none = No hay ninguna copia comprobada.
backups-none-what = Lo que hay en el disco de este servidor está una sola vez. Ponga BACKUP_TO, o ejecute baybook backup CARPETA.
backups-age = { $days ->
    [0] La última copia tiene menos de un día.
    [one] La última copia tiene un día.
   *[other] La última copia tiene { $days } días.
}
backups-old = Mire el disco al que va, y lo que dice el servidor cuando lo intenta.
backups-at = Hecha y comprobada
backups-where = Carpeta
backups-jobs = Trabajos que contiene
backups-events = Eventos
backups-photos = Fotos, cada una comparada con su nombre
backups-entries = Asientos del libro, calculados de nuevo
backups-daily = Cada día a las { $at } el taller se copia en { $folder }.
backups-no-schedule = Nada se copia solo: BACKUP_TO no nombra ninguna carpeta.
backups-encrypted = Las copias van cifradas.
backups-plain = Las copias no van cifradas: BACKUP_KEY no nombra ninguna clave.
backups-what = Cada copia se restaura en un lugar temporal y se revisa antes de darla por buena. Guarde una en otro disco, y otra en otro edificio.

## outbox
outbox-title = Oficina central
outbox-none = Este taller no se ha unido a ninguna oficina central: todo se queda aquí.
outbox-how = La oficina central hace un código para cada taller. En el servidor de este taller, escriba:
outbox-sent = Todo está en la oficina central.
outbox-sent-what = La oficina central tiene todos los trabajos terminados de este taller y ha firmado su registro.
outbox-waits = Aún queda algo por enviar.
outbox-waits-what = Se envía solo cuando la línea, el horario y la velocidad lo permiten. Mientras tanto se sigue trabajando.
outbox-fails = { $count ->
    [one] El último intento falló.
   *[other] Los últimos { $count } intentos fallaron.
}
outbox-again = Se intenta de nuevo a las { $at }. No se pierde nada: espera aquí.
outbox-name = Nombre de este taller allí
outbox-address = Dirección
outbox-left = Entradas por enviar
outbox-photos = Fotos por enviar
outbox-arrived = Entradas que llegaron
outbox-signed = Entradas que firmó la oficina central
outbox-tried = Último intento
outbox-done = Última respuesta
outbox-hours = Horario de envío
outbox-always = a cualquier hora
outbox-rate = Como máximo
outbox-kb = { $rate } kB por segundo
outbox-any = lo que dé la línea
outbox-oldest = El trabajo más antiguo que espera
outbox-now = Intentar ahora
outbox-apart = Apartado en la oficina central
outbox-apart-what = Estas entradas llegaron. Lo que vino con ellas no es lo que dicen, así que la oficina central lo guarda aparte; mire el trabajo aquí y hable con la oficina central.
outbox-entry = Entrada { $number }
outbox-what = Un trabajo terminado se envía con su hoja, su diario y sus fotos, firmado por este taller. La oficina central firma a cambio el registro del taller, para que nadie pueda cambiarlo solo.

## shops
shops-title = Talleres
shops-lead = Lo que han enviado los talleres de esta oficina central, por región.
shops-none = Aún no se ha unido ningún taller. Haga un código para el primero.
shops-hidden = Usted ve los talleres de las regiones que se le dieron.
shops-new = Un código para un taller
shops-new-what = El código vale una vez y durante una semana. En el servidor del taller: baybook join DIRECCIÓN CÓDIGO.
shops-name = Nombre del taller
shops-region = Región
shops-make = Hacer un código
shops-code-is = El código para { $name }:
shops-entries = { $count ->
    [one] una entrada
   *[other] { $count } entradas
}
shops-heard = última noticia { $at }
shops-never = aún sin noticias
shops-silent = { $days ->
    [one] un día en silencio
   *[other] { $days } días en silencio
}
shops-good = en contacto
shops-fails = rechazado
shops-left = retirado
shops-apart = { $count ->
    [one] una entrada apartada
   *[other] { $count } entradas apartadas
}
shops-photos = { $count ->
    [one] una foto por llegar
   *[other] { $count } fotos por llegar
}
shops-version = versión { $version }
shops-times = Tiempos de todos los talleres
shops-times-lead = Cuánto dura cada calibración en los talleres que usted ve, y con qué frecuencia salió bien a la primera.
shops-times-how = Los tiempos se cuentan en pasos del 2 %, así que una cifra se aparta como mucho un 1 %. Los tiempos estimados y las calibraciones que no se terminaron cuentan como trabajos y quedan fuera de las cifras. No se clasifica a talleres ni a personas.
shops-times-file = Estas cifras en CSV
shops-type-title = { $name }: tiempos de todos los talleres
shops-trend-of = { $name }: medianas mes a mes; las cifras están al lado.
shops-trend-few = una tendencia necesita dos meses de 5 trabajos
shops-months = Mes a mes
shops-months-what = La mitad de los trabajos de un mes no duró más que su punto. Las líneas muestran dónde está de verdad la mediana. Un mes con menos de 5 trabajos no tiene punto.
shops-month = Mes
shops-beside-shop = Talleres uno al lado del otro
shops-beside-region = Regiones una al lado de la otra
shops-beside-what = Por orden de nombre: no es una clasificación. Los vehículos y las reparaciones difieren de un lugar a otro, y donde las cifras pequeñas se solapan no se muestra ninguna diferencia.
shops-beside-caption = Minutos, tiempo entero
shops-compare = Comparar antes y desde este mes
shops-compare-few = Pocos trabajos: una comparación necesita 5 trabajos a cada lado del mes.
shops-where-latest = De los últimos { $n } de estos trabajos.
shops-where-how = Los pasos, esperas y pausas se cuentan en pasos del 5 %, con un error de un 2,5 % como mucho, y vienen de los talleres cuya versión los comunica.
shops-models-title = { $name }: resultados por modelo de vehículo
shops-narrow = Solo algunos talleres
shops-narrow-all = Otra vez todos los talleres
shops-kit = Equipo de todos los talleres
shops-kit-lead = Lo que está vencido, dañado o vence en 30 días, por región y taller, y qué etiquetas se escanearon mal en { $days } días.
shops-kit-nobody = Ningún taller es así.
shops-kit-none-overdue = No hay nada vencido ni dañado.
shops-kit-not-told = sin informar
shops-kit-not-told-why = La versión de este taller no informa de su equipo, o no ha estado en contacto desde entonces.
shops-kit-nothing-due = { $n ->
    [one] nada vence: { $n } objeto
   *[other] nada vence: { $n } objetos
}
shops-kit-inspected = revisado el { $day }
shops-kit-told = Según informó el taller el { $at }.
shops-reads-standby = Leído del servidor de reserva, que está al día.
shops-reads-behind = A fecha de { $at }: esta página se lee del servidor de reserva, que va con retraso.
shops-reads-alone = A fecha de { $at }: esta página se lee del servidor de reserva, que no tiene noticias del principal.
shops-reads-primary = El servidor de reserva no responde: esta página se lee del principal.
shops-reads-not-added = El servidor principal no responde: lo que llegó desde la última vez que alguien miró no está en estas cifras.
shops-models = Resultados por modelo de vehículo
shops-one = Taller
shops-since = Desde el mes
shops-until = Hasta el mes
shops-back = Todos los talleres
shops-joined = Se unió
shops-arrived = Entradas que llegaron
shops-signed = Entradas firmadas
shops-log = Su registro aquí
shops-log-is = número { $number }
shops-last = Última noticia
shops-version-is = Versión
shops-id = Su nombre en los mensajes
shops-again = Un código para unirse de nuevo
shops-again-what = Para un taller restaurado de una copia, o cuyo registro se rechazó por reescrito. Conserva su nombre y todo lo que llegó, y envía su registro otra vez.
shops-out = Retirar este taller
shops-out-what = No se toma nada más de él hasta que se una de nuevo. Lo que llegó se queda.
shops-why-apart = Apartado
shops-readers = Quién ve qué regiones
shops-readers-what = Un responsable del que no se dice nada aquí ve todas las regiones; los demás ven lo que se les dio.
shops-regions = Regiones, separadas por comas
shops-regions-save = Guardar

## owner
owner-title = Para quien tiene el vehículo
owner-order = Orden de reparación
owner-day = Terminado el
owner-why = Por qué hizo falta
owner-why-text = Las cámaras y los radares con los que ve su vehículo deben saber exactamente adónde apuntan. Tras este trabajo había que ajustarlos de nuevo:
owner-done = Qué se hizo
owner-is-done = ajustado, según informa el equipo de diagnosis
owner-is-failed = intentado y no conseguido
owner-is-not-run = no hecho
owner-know = Lo que conviene saber
owner-open = Algo sigue pendiente.
owner-open-text = Hasta que se haga, las funciones de asistencia pueden actuar tarde, mal o no actuar. Conduzca como si no existieran y pídanos una fecha.
owner-more = { $count ->
    [one] Otro punto está en el registro completo.
   *[other] Otros { $count } puntos están en el registro completo.
}
owner-assist = Las funciones de asistencia ayudan y no conducen. Lea en el manual de su vehículo qué puede hacer cada una y dónde termina.
owner-lamp = Si se enciende un testigo, o una función actúa de otro modo que antes, deje de usarla y vuelva.
owner-amended = Añadido el { $at }:
owner-who = Quién lo hizo
owner-worked = Trabajó en ello:
owner-released = Lo entregó:
owner-full = El registro completo, con cada lectura y lo segura que es, queda en el taller. Puede pedirlo.
owner-pdf = Esta página en PDF

## privacy
privacy-title = Titular de un vehículo
privacy-lead = Quien pregunta qué guarda de él este taller, o quiere que se borre, indica el vehículo. Solo un responsable ve esta página.
privacy-find = Mostrar lo que se guarda
privacy-kept = Tras el fin de un trabajo, el VIN, la orden y los textos escritos se guardan { $vehicle ->
    [0] para siempre
   *[other] { $vehicle } días
  }, las fotos { $photos ->
    [0] para siempre
   *[other] { $photos } días
  }.
privacy-export = Guardar todo en un archivo
privacy-export-what = Lo que se anotó, los pasos, todo lo registrado y las fotos, para que el titular se lo lleve.
privacy-erase = Borrarlo
privacy-erase-what = El VIN, la orden, todo lo escrito y las fotos desaparecen de este taller para siempre. Lo que se hizo y cuánto duró queda, sin el vehículo. Los teléfonos borran lo suyo cuando vuelven a oír del taller. Los registros ya entregados siguen probándose. Las copias de seguridad antiguas lo conservan hasta que se hagan de nuevo.
privacy-reason = ¿Por qué se borra?
privacy-erase-button = Borrar para siempre
privacy-erased = { $count ->
    [one] Borrado de un trabajo.
   *[other] Borrado de { $count } trabajos.
  }
privacy-erased-more = Haga una copia de seguridad en una carpeta nueva y tire las antiguas.
record-erased = El { $at } se borraron datos personales.
record-erased-vehicle = El VIN, la orden y lo escrito ya no se guardan.
record-erased-photos = Las fotos ya no se guardan.
record-erased-vehicle-photos = El VIN, la orden, lo escrito y las fotos ya no se guardan.
check-later-erased = El { $at } se borraron aquí los datos del titular del vehículo. Lo entregado antes sigue valiendo.
check-why-erased = se borraron los datos del titular del vehículo

## releases
releases-title = Entregas de la oficina central
releases-lead = Procedimientos y valores de vehículos que entrega la oficina central. Aquí nada cambia antes de que lo apruebe un supervisor o responsable.
releases-number = Entrega { $number }
releases-came-along = Lo que vino incluido
releases-came-along-what = Los procedimientos que este taller tenía antes de cualquier entrega: los de Baybook o los de su propia carpeta.
releases-trouble = La entrega { $number } se adoptó, pero este Baybook no puede trabajar con ella: se trabaja con lo que vino incluido.
releases-refused = No se tomó la última entrega de la oficina central.
releases-refused-what = Aquí no ha cambiado nada ({ $at }). Se pide de nuevo por sí solo.
releases-waits = La entrega { $number } espera una decisión.
releases-look = Ver qué cambia
releases-pending = { $count ->
    [0] La entrega { $number } está aprobada y se adopta en unos segundos.
    [one] La entrega { $number } está aprobada y se adopta cuando no haya ningún trabajo en curso; hay uno.
   *[other] La entrega { $number } está aprobada y se adopta cuando no haya ningún trabajo en curso; hay { $count }.
}
releases-in-use = Los trabajos se planifican con: { $what }
releases-since = Desde { $at }.
releases-sheets = Un trabajo en curso conserva los pasos con los que empezó.
releases-ask = Preguntar ahora a la oficina central
releases-asked = Última vez: { $at }
releases-all = Entregas
releases-none = Aún no se ha recibido ninguna.
releases-was-approved = Aprobada por { $name }, { $at }.
releases-was-declined = Rechazada por { $name }, { $at }:
releases-made = Entregada por { $name }, { $at }.
releases-used = Se trabaja con ella desde { $at }.
releases-unfit = Este Baybook no puede trabajar con ella.
releases-clashes = Vehículos propios del taller
releases-clash-stays = La entrega tiene otros valores de él. Los propios del taller, revisión { $revision }, siguen en su lugar.
releases-clash-unfit = Con esta entrega no se podría trabajar con los valores propios del taller: { $why }
releases-changes = Qué cambia respecto a: { $what }
releases-same = No hay diferencias.
releases-approve = Aprobar
releases-approve-lead = Mire antes qué cambia. Desde entonces los trabajos se planifican con ella, los teléfonos la reciben y lo que se está planificando se planifica de nuevo. Los trabajos en curso conservan sus pasos.
releases-running = { $count ->
    [one] Hay un trabajo en curso.
   *[other] Hay { $count } trabajos en curso.
}
releases-when = ¿Cuándo se adopta?
releases-when-quiet = Cuando no haya ningún trabajo en curso
releases-when-now = Enseguida, para el próximo trabajo
releases-approve-button = Aprobar esta entrega
releases-decline = No adoptarla
releases-decline-lead = Se comunica a la oficina central quién la rechazó y por qué. Aun así se puede aprobar más tarde.
releases-decline-why = ¿Por qué no?
releases-decline-button = Rechazar esta entrega
releases-link = Procedimientos de la oficina central
changes-at = En «{ $step }»:
changes-becomes = { $way }: «{ $before }» pasa a «{ $after }»
changes-set = { $way }: «{ $after }» es nuevo.
changes-unset = { $way }: «{ $before }» desaparece.
changes-order = { $way }: otro orden, de { $before } a { $after }
changes-revision = La revisión { $before } pasa a la revisión { $after }.
changes-step-new = Paso nuevo: «{ $name }»
changes-step-gone = Paso que desaparece: «{ $name }»
changes-step-order = Los pasos van en otro orden, ahora: { $after }
changes-step = Paso: «{ $name }»
changes-spec = Valores para: { $name }
changes-used-by = Parte compartida { $name }, usada en: { $after }
changes-translation = «{ $text }»: «{ $before }» pasa a «{ $after }»
changes-layout = Solo difieren comentarios o formato; nada con lo que se trabaje.
changes-otherwise = El archivo cambió de un modo que aquí no se puede expresar con palabras.
changes-whole = Todo el archivo.
changes-state-new = nuevo
changes-state-gone = desaparece
changes-state-changed = cambiado
changes-sort-procedure = procedimiento
changes-sort-vehicle = vehículo
changes-sort-fragments = pasos compartidos
changes-sort-catalogue = catálogo
changes-sort-translation = traducción
changes-title-fragments = Pasos que comparten los procedimientos
changes-title-catalogue = Dianas, lugares y precauciones
changes-field-above = Sobre el suelo en
changes-field-after = Va después de
changes-field-ahead = Delante
changes-field-area = Suelo libre
changes-field-as = Llamado
changes-field-ask = Pregunta
changes-field-asks = Nombre de la respuesta
changes-field-bar = Barra
changes-field-behind = Detrás
changes-field-between-hubs = Entre los bujes
changes-field-blocks = Lo que hay que arreglar antes
changes-field-button = Botón
changes-field-cause = Causa
changes-field-causes = Causas conocidas
changes-field-caution = Precauciones
changes-field-cautions = Precauciones
changes-field-check = Cómo averiguarlo
changes-field-compare = Comparación
changes-field-contacts = Alturas en los neumáticos
changes-field-do = Instrucción
changes-field-drawing = Dibujo
changes-field-due-when = Procede cuando
changes-field-each-side = Cada lado
changes-field-expect = Tiempo habitual
changes-field-figures = Valores
changes-field-fragments = Pasos compartidos
changes-field-front-overhang = Voladizo delantero
changes-field-hazard = Peligro
changes-field-height = Altura
changes-field-high = Máximo
changes-field-hold = Refrendado para
changes-field-home = Sitio
changes-field-hubs = Bujes
changes-field-id = Nombre
changes-field-instrument = Instrumento
changes-field-kind = Clase de paso
changes-field-label = Rótulo
changes-field-length = Longitud
changes-field-likely = Con qué frecuencia
changes-field-limits = Límites
changes-field-low = Mínimo
changes-field-maker = Marca
changes-field-measure = Medición
changes-field-method = Método
changes-field-mistakes = Errores conocidos
changes-field-mode = Modo
changes-field-model = Modelo
changes-field-name = Nombre
changes-field-needs = Valores que necesita
changes-field-nominal = Nominal
changes-field-of = De
changes-field-only-if = Solo si
changes-field-options = Respuestas
changes-field-outline = Tamaño
changes-field-pairs = Qué va dónde
changes-field-photo = Foto
changes-field-placements = Dónde van las dianas
changes-field-points = Puntos
changes-field-procedure = Procedimiento
changes-field-qualifiers = Preguntas
changes-field-readings = Lecturas
changes-field-redo = Paso al que volver
changes-field-reference = Se cuenta desde
changes-field-revision = Revisión
changes-field-sensor = Sensor
changes-field-set-up = Preparación
changes-field-short = Texto breve
changes-field-signal = Palabra de advertencia
changes-field-size = Tamaño
changes-field-sort = Tipo
changes-field-source = Fuente
changes-field-specs = Valores para
changes-field-spot = Lugar
changes-field-spots = Lugares
changes-field-steps = Pasos
changes-field-takes = Tarda
changes-field-target = Diana
changes-field-targets = Dianas
changes-field-title = Título
changes-field-tolerance = Tolerancia
changes-field-track = Vía
changes-field-track-front = Vía delantera
changes-field-track-rear = Vía trasera
changes-field-u = Incertidumbre
changes-field-unit = Unidad
changes-field-unless = No con
changes-field-use = Parte compartida
changes-field-value = Valor
changes-field-variants = Otros valores
changes-field-vehicle = Vehículo
changes-field-vin = Patrón de VIN
changes-field-wait = Espera
changes-field-wheelbase = Batalla
changes-field-when = Solo con
changes-field-where = Parte de
changes-field-why = Motivo
changes-field-width = Anchura
changes-field-x = x
changes-field-y = y
changes-field-yaw = Guiñada
changes-field-years = Años
office-releases = Entregas
office-releases-lead = Con qué planifican los talleres. Una entrega nunca se cambia; cada taller la recibe por sí solo y decide sobre ella.
office-releases-made = La entrega { $number } está hecha. Los talleres la reciben por sí solos.
office-releases-none = Aún no se ha entregado nada: cada taller trabaja con lo que vino incluido.
office-releases-using = { $count } de { $shops } talleres trabajan con ella
office-release-now = Una entrega nueva
office-release-what = Se entregan los procedimientos propios de la oficina central, tal como están en esta carpeta:
office-release-unfit = No se pueden entregar tal como están.
office-release-same = Nada difiere de la última entrega.
office-release-files = { $count } archivos.
office-release-note = ¿Por qué se entrega?
office-release-note-help = Cada taller lo lee junto a lo que cambia.
office-release-button = Entregar a todos los talleres
office-release-behind = Talleres que aún no trabajan con ella
office-release-using = Talleres que trabajan con ella
office-release-answers = Lo que decidieron los talleres
shops-release = trabaja con la entrega { $number }
shops-release-none = trabaja con lo que vino incluido
shops-release-behind = la entrega { $number } es más nueva
shops-works-by = Procedimientos
plan-anew = Los procedimientos cambiaron el { $at }, después de empezar este trabajo: se planifica de nuevo. Repase el plan.
