package org.tarebook.plant;

import org.springframework.stereotype.Service;

/** The plant's products. */
@Service
public class Products extends Register<Product> {

  Products(ProductRepository repository, Tools tools) {
    super("product", repository, tools);
  }
}
