package org.tarebook.plant;

import org.springframework.stereotype.Service;

/** The plant's lines. */
@Service
public class Lines extends Register<Line> {

  Lines(LineRepository repository, Tools tools) {
    super("line", repository, tools);
  }
}
