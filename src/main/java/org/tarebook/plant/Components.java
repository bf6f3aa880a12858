package org.tarebook.plant;

import org.springframework.stereotype.Service;

/** The plant's components. */
@Service
public class Components extends Register<Component> {

  Components(ComponentRepository repository, Tools tools) {
    super("component", repository, tools);
  }
}
