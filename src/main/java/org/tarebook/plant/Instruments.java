package org.tarebook.plant;

import org.springframework.stereotype.Service;

/** The plant's instruments. */
@Service
public class Instruments extends Register<Instrument> {

  Instruments(InstrumentRepository repository, Tools tools) {
    super("instrument", repository, tools);
  }
}
