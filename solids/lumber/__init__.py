"""What parts are sawn from: rough sizes, panels glued up, and the layout on boards and sheets."""
