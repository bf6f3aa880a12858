package org.tarebook.plant;

import org.springframework.stereotype.Service;

/** The plant's presses. */
@Service
public class Presses extends Register<Press> {

  Presses(PressRepository repository, Tools tools) {
    super("press", repository, tools);
  }
}
